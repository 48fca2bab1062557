import { useState } from "preact/hooks";
import { nameOf, text } from "../records/fields";
import { book } from "../screen/route";
import { useTitle } from "../screen/context";
import { Button, TextField } from "../ui/controls";
import { Blank, Door, Doors } from "../ui/parts";
import { B } from "../text/jobbook";
import { dots, W } from "../text/words";
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
        <Doors>
          {SHELVES.flatMap((key) => kinds.filter((k) => k.key === key)).map((k) => (
            <Door
              key={k.key}
              href={book("shop", k.key)}
              name={k.plural}
              lines={[k.help]}
              foot={shelf!.all(k.key).length}
            />
          ))}
        </Doors>
        <p class="foot-links">
          <Button label={B.shop.find} href={book("find")} />
          <Button label={B.shop.deleted} href={book("deleted")} />
          <Button label={B.shop.settings} href="#/settings" />
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
      line: dots(
        ...(kind?.detail ?? []).map((key) => saying(detail(key), r.values[key], r.units[key], shelf)),
      ),
    }))
    .filter((x) => `${x.name} ${x.line} ${text(x.r, "notes")}`.toLowerCase().includes(wanted))
    .sort((a, b) => a.name.localeCompare(b.name, undefined, { numeric: true }));
  return (
    <Gate ready={ready && !!kind} fault={fault || kindFault}>
      <div class="narrow">
        <p class="foot-links">
          <Button go label={B.shop.add(kind?.label ?? "")} href={book("new", kindKey)} />
        </p>
        {all.length > 6 && <TextField id="find-shop" search label={B.shop.find} value={find} set={setFind} />}
        {list.length === 0 && (
          <Blank
            kind="empty"
            title={wanted ? W.jobs.none(find.trim()) : B.shop.none(kind?.plural ?? "")}
            help={kind?.help ?? ""}
          />
        )}
        <Doors>
          {list.slice(0, 300).map(({ r, name, line }) => (
            <Door
              key={r.id}
              href={recordHref(r.id)}
              name={name}
              lines={[line]}
              foot={r.demo && B.mill.invented}
            />
          ))}
        </Doors>
      </div>
    </Gate>
  );
}
