import { nameOf, text } from "../records/fields";
import { book, recordHref } from "../screen/route";
import { useApp, useTitle } from "../screen/context";
import { goOver, useHere } from "../screen/here";
import { askToKeep } from "../storage/persist";
import { Button } from "../ui/controls";
import { FaultLine } from "../ui/parts";
import { N } from "../text/begin";
import { B } from "../text/jobbook";
import { PickCard, TABLE } from "./begin";
import { bring, bringBack } from "./carried";
import { ofStock, pictureOf, stock, type StockKind } from "./stock";
import { Gate, useKinds, useRepository, useWork } from "./use";

/** Kinds that a new card is made of. */
const KINDS = ["machine", "fixture", "part", "material", "tool", "gauge"];

const pictures: Record<string, string> = { tool: "cutter" };

/** A new card: which kind; then, of machines, fixtures and metals, which of those that stand ready. */
export function StockPage({ id, more }: { id: string; more: Record<string, string> }) {
  const { repo, ready, fault } = useRepository("setup", ...(id ? [id] : []));
  const { kinds, fault: kindFault } = useKinds(repo);
  const { say } = useApp();
  const [open, setOpen] = useHere<string>("group", "");
  const work = useWork();
  const kind = kinds.find((k) => k.key === id);
  useTitle(kind ? N.add(kind.label) : N.which);
  const { job = "", ...back } = more;
  const blank = (key: string) => book("new", key, { ...(key === "part" && job && { job }), ...back });
  const groups = stock[id as StockKind] ?? [];
  const group = groups.find((g) => g.key === open);
  const make = (set: Record<string, unknown>) =>
    work.run(async () => {
      const made = await repo!.make(id, set, { unit: "in" });
      void askToKeep();
      say(B.form.saved(nameOf(made)));
      if (more["into"]) return bringBack(more, made);
      bring(more, made);
      goOver(more["back"] ? book("record", made.id, back) : recordHref(made.id));
    });
  const own = more["back"] && repo && !group ? repo.all(id) : [];
  const mine = own.filter((r) => id !== "part" || !job || text(r, "job") === job);
  return (
    <Gate ready={ready && kinds.length > 0} fault={fault || kindFault}>
      <div class="narrow stock">
        {own.length > 0 && (
          <section class="cards" aria-label={N.yours}>
            {mine
              .sort((a, b) => nameOf(a).localeCompare(nameOf(b), undefined, { numeric: true }))
              .slice(0, 300)
              .map((r) => (
                <PickCard
                  key={r.id}
                  picture={pictureOf(r) || pictures[id] || id}
                  or={id}
                  name={nameOf(r) || B.unnamed}
                  act={() => bringBack(more, r)}
                />
              ))}
            {id === "fixture" && !more["into"] && (
              <PickCard picture="table" name={N.table} act={() => bringBack(more, { id: TABLE, kind: id })} />
            )}
          </section>
        )}
        <section class="cards">
          {!id &&
            KINDS.flatMap((key) => kinds.filter((k) => k.key === key)).map((k) => (
              <PickCard
                key={k.key}
                picture={pictures[k.key] ?? k.key}
                name={k.label}
                act={() => goOver(k.key in stock ? book("stock", k.key, more) : blank(k.key))}
              />
            ))}
          {groups.map((g) => (
            <PickCard
              key={g.key}
              picture={g.picture}
              or={id}
              name={N.stock[g.key]}
              ready
              on={g.key === open}
              act={() => setOpen(g.key === open ? "" : g.key)}
            />
          ))}
          {id && <PickCard picture={pictures[id] ?? id} name={N.another} act={() => goOver(blank(id))} />}
        </section>
        {group && (
          <section class="cards sizes" aria-label={N.stock[group.key]}>
            {group.sizes.map((s) => (
              <Button key={s.name} label={s.name} act={() => make(ofStock(group, s))} />
            ))}
          </section>
        )}
        <FaultLine id="stock-fault" text={work.fault || undefined} />
      </div>
    </Gate>
  );
}
