import { useState } from "preact/hooks";
import { nameOf, text } from "../records/fields";
import { book } from "../screen/route";
import { useTitle } from "../screen/context";
import { Blank } from "../ui/parts";
import { B } from "../text/jobbook";
import { W } from "../text/words";
import { recordHref } from "./facts";
import { saying } from "./saying";
import { Gate, useKinds, useShelf } from "./use";

const SHELVES = ["machine", "fixture", "tool", "gauge", "set", "material"];

/** What the shop owns, shelf by shelf. */
export function Shop({ id }: { id: string }) {
  return SHELVES.includes(id) ? <OneShelf kindKey={id} /> : <AllShelves />;
}

function AllShelves() {
  const { shelf, ready, fault } = useShelf(...SHELVES);
  const { kinds, fault: kindFault } = useKinds(shelf);
  return (
    <Gate ready={ready && kinds.length > 0} fault={fault || kindFault}>
      <div class="narrow">
        <ul class="doors">
          {SHELVES.flatMap((key) => kinds.filter((k) => k.key === key)).map((k) => (
            <li key={k.key}>
              <a class="door" href={book("shop", k.key)}>
                <b>{k.plural}</b>
                <span>{k.help}</span>
                <em>{shelf!.all(k.key).length}</em>
              </a>
            </li>
          ))}
        </ul>
        <p class="foot-links">
          <a class="button" href={book("find")}>
            {B.shop.find}
          </a>
          <a class="button" href={book("deleted")}>
            {B.shop.deleted}
          </a>
          <a class="button" href="#/settings">
            {B.shop.settings}
          </a>
        </p>
      </div>
    </Gate>
  );
}

function OneShelf({ kindKey }: { kindKey: string }) {
  const { shelf, ready, fault } = useShelf(kindKey, "material");
  const { kinds, fault: kindFault } = useKinds(shelf);
  const [find, setFind] = useState("");
  const kind = kinds.find((k) => k.key === kindKey);
  useTitle(kind?.plural ?? "");
  const all = shelf?.all(kindKey) ?? [];
  const wanted = find.trim().toLowerCase();
  const detail = (key: string) => kind?.fields.find((f) => f.key === key);
  const list = all
    .map((r) => ({
      r,
      name: nameOf(r) || B.unnamed,
      line: (kind?.detail ?? [])
        .map((key) => saying(detail(key), r.values[key], r.units[key], shelf))
        .filter(Boolean)
        .join(" · "),
    }))
    .filter((x) => `${x.name} ${x.line} ${text(x.r, "notes")}`.toLowerCase().includes(wanted))
    .sort((a, b) => a.name.localeCompare(b.name, undefined, { numeric: true }));
  return (
    <Gate ready={ready && !!kind} fault={fault || kindFault}>
      <div class="narrow">
        <p class="foot-links">
          <a class="button go" href={book("new", kindKey)}>
            {B.shop.add(kind?.label ?? "")}
          </a>
        </p>
        {all.length > 6 && (
          <div class="field-wrap">
            <div class="field">
              <label for="find-shop">{B.shop.find}</label>
              <input
                id="find-shop"
                type="search"
                value={find}
                onInput={(e) => setFind(e.currentTarget.value)}
              />
            </div>
          </div>
        )}
        {list.length === 0 && (
          <Blank
            kind="empty"
            title={wanted ? W.jobs.none(find.trim()) : B.shop.none(kind?.plural ?? "")}
            help={kind?.help ?? ""}
          />
        )}
        <ul class="doors">
          {list.slice(0, 300).map(({ r, name, line }) => (
            <li key={r.id}>
              <a class="door" href={recordHref(r.id)}>
                <b>{name}</b>
                <span>{line}</span>
                {r.demo && <em>{B.mill.invented}</em>}
              </a>
            </li>
          ))}
        </ul>
      </div>
    </Gate>
  );
}
