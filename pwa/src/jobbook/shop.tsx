import { useState } from "preact/hooks";
import { nameOf, text } from "../records/fields";
import { book, recordHref } from "../screen/route";
import { useTitle } from "../screen/context";
import { Button, TextField } from "../ui/controls";
import { Blank, LinkCard, LinkList } from "../ui/parts";
import { B } from "../text/jobbook";
import { dots, W } from "../text/words";
import { LookDoor } from "./look";
import { saying } from "./saying";
import { stock } from "./stock";
import { Gate, useKinds, useRepository } from "./use";

const OWNED = ["machine", "fixture", "tool", "gauge", "set", "material"];

/** What the shop owns, kind by kind. */
export function Shop({ id }: { id: string }) {
  return OWNED.includes(id) ? <OneKind kindKey={id} /> : <AllKinds />;
}

function AllKinds() {
  const { repo, ready, fault } = useRepository(...OWNED);
  const { kinds, fault: kindFault } = useKinds(repo);
  return (
    <Gate ready={ready && kinds.length > 0} fault={fault || kindFault}>
      <div class="narrow">
        <LookDoor repo={repo} />
        <LinkList>
          {OWNED.flatMap((key) => kinds.filter((k) => k.key === key)).map((k) => (
            <LinkCard
              key={k.key}
              href={book("shop", k.key)}
              name={k.plural}
              lines={[k.help]}
              foot={repo!.all(k.key).length}
            />
          ))}
        </LinkList>
        <p class="foot-links">
          <Button label={B.shop.find} href={book("find")} />
          <Button label={B.shop.deleted} href={book("deleted")} />
          <Button label={B.shop.settings} href="#/settings" />
        </p>
      </div>
    </Gate>
  );
}

function OneKind({ kindKey }: { kindKey: string }) {
  const { repo, ready, fault } = useRepository(kindKey, "material");
  const { kinds, fault: kindFault } = useKinds(repo);
  const [find, setFind] = useState("");
  const kind = kinds.find((k) => k.key === kindKey);
  useTitle(kind?.plural ?? "");
  const all = repo?.all(kindKey) ?? [];
  const wanted = find.trim().toLowerCase();
  const detail = (key: string) => kind?.fields.find((f) => f.key === key);
  const list = all
    .map((r) => ({
      r,
      name: nameOf(r) || B.unnamed,
      line: dots(
        ...(kind?.detail ?? []).map((key) => saying(detail(key), r.values[key], r.units[key], repo)),
      ),
    }))
    .filter((x) => `${x.name} ${x.line} ${text(x.r, "notes")}`.toLowerCase().includes(wanted))
    .sort((a, b) => a.name.localeCompare(b.name, undefined, { numeric: true }));
  return (
    <Gate ready={ready && !!kind} fault={fault || kindFault}>
      <div class="narrow">
        <p class="foot-links">
          <Button
            go
            label={B.shop.add(kind?.label ?? "")}
            href={book(kindKey in stock ? "stock" : "new", kindKey)}
          />
        </p>
        <LookDoor repo={repo} />
        {all.length > 6 && <TextField id="find-shop" search label={B.shop.find} value={find} set={setFind} />}
        {list.length === 0 && (
          <Blank
            kind="empty"
            title={wanted ? W.jobs.none(find.trim()) : B.shop.none(kind?.plural ?? "")}
            help={kind?.help ?? ""}
          />
        )}
        <LinkList>
          {list.slice(0, 300).map(({ r, name, line }) => (
            <LinkCard
              key={r.id}
              href={recordHref(r.id)}
              name={name}
              lines={[line]}
              foot={r.demo && B.mill.invented}
            />
          ))}
        </LinkList>
      </div>
    </Gate>
  );
}
