import type { ComponentChildren } from "preact";
import { generate } from "lean-qr/nano";
import { nameOf, rows, text, type Rec } from "../records/fields";
import type { Field, RecordKind } from "../engine/contract.gen";
import type { Repository } from "../records/repository";
import { P } from "../text/paper";
import { commas, dateWords as stamp, writer } from "../text/words";
import { linkName, saying } from "../jobbook/saying";
import { about, labelAddress, squares } from "./model";

export interface SheetProps {
  what: string;
  rec: Rec;
  /** Of the paper: "letter", "a4", or "" as the printer says. */
  size: string;
  repo: Repository;
  kinds: RecordKind[];
  /** Base of the codes' links: the address that phones know this shop by; "" for no codes. */
  at: string;
  extra: import("./gather").Extra;
  describe: import("../engine/contract.gen").Describe;
}

export const fieldOf = (kinds: RecordKind[], kind: string, key: string): Field | undefined =>
  kinds.find((k) => k.key === kind)?.fields.find((f) => f.key === key);

/** One field of a record in words. */
export const say = (p: Pick<SheetProps, "kinds" | "repo">, rec: Rec | undefined, key: string): string =>
  rec ? saying(fieldOf(p.kinds, rec.kind, key), rec.values[key], rec.units[key], p.repo) : "";

/** The name of what a record leads to. */
export const link = (p: SheetProps, rec: Rec, key: string): string =>
  text(rec, key) ? linkName(text(rec, key), p.repo) : "";

/** How long a step's pass took. */
export const took = (p: SheetProps, step: Rec): string => {
  const time = say(p, step, "took");
  return time && P.took(time);
};

/** A square to tick with a pencil, or one that is ticked. */
export function Square({ on }: { on: boolean }) {
  return (
    <svg
      class="paper-box"
      viewBox="0 0 12 12"
      width="14"
      height="14"
      role="img"
      aria-label={on ? P.done : "–"}
    >
      <path d={on ? "M1 1H11V11H1ZM3 6L5.4 8.6L9.4 3.4" : "M1 1H11V11H1Z"} />
    </svg>
  );
}

/** A square code that leads to a record's page here. */
export function Code({ rec, at }: SheetProps) {
  if (!at) return null;
  const address = labelAddress(at, rec);
  const code = generate(address);
  return (
    <svg
      class="paper-code"
      viewBox={`-4 -4 ${code.size + 8} ${code.size + 8}`}
      shape-rendering="crispEdges"
      role="img"
      aria-label={address}
    >
      <path d={squares(code)} />
    </svg>
  );
}

export function Part({ title, children }: { title: string; children: ComponentChildren }) {
  return (
    <section>
      <h2>{title}</h2>
      {children}
    </section>
  );
}

/** A table that prints with its head on every page and no row cut through. */
export function Table({
  name,
  heads,
  list,
  wide,
}: {
  name: string;
  heads: string[];
  list: ComponentChildren[][];
  /** The column that takes the remaining width. */
  wide?: number;
}) {
  // A column with nothing in it takes no room.
  const used = heads.map((_, i) => list.some((r) => r[i] !== "" && r[i] !== undefined && r[i] !== null));
  return (
    <div class="paper-scroll" tabIndex={0} role="group" aria-label={name}>
      <table>
        <thead>
          <tr>{heads.map((h, i) => used[i] && <th scope="col">{h}</th>)}</tr>
        </thead>
        <tbody>
          {list.map((r) => (
            <tr>{r.map((c, i) => used[i] && <td class={classOf(c, i === wide)}>{c}</td>)}</tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

/** A size and its unit stay together. */
const classOf = (cell: ComponentChildren, wide: boolean): string =>
  wide
    ? "paper-wide"
    : typeof cell === "string" && /^[-+]?[\d./-]{1,7} (in|mm)$/.test(cell)
      ? "paper-size"
      : "";

export function TableOrNone(p: Parameters<typeof Table>[0]) {
  return p.list.length === 0 ? <p>{P.none}</p> : <Table {...p} />;
}

/** A cell with a second, smaller line. */
export function Over({ main, under }: { main: ComponentChildren; under: string }) {
  return (
    <>
      {main}
      {under && <small>{under}</small>}
    </>
  );
}

/** What a record says, field by field, its tables after it. */
export function Says({
  p,
  rec,
  hide = [],
  head: Head = "h3",
}: {
  p: Pick<SheetProps, "kinds" | "repo">;
  rec: Rec;
  hide?: readonly string[];
  /** The heading over a table: one below that over the whole. */
  head?: "h2" | "h3";
}) {
  const fields = (p.kinds.find((k) => k.key === rec.kind)?.fields ?? []).filter(
    (f) => rec.values[f.key] !== undefined && !hide.includes(f.key),
  );
  return (
    <>
      <dl>
        {fields
          .filter((f) => f.kind !== "table")
          .map((f) => (
            <div key={f.key} class={f.kind === "long" ? "paper-long" : ""}>
              <dt>{f.label}</dt>
              <dd>
                {saying(f, rec.values[f.key], rec.units[f.key], p.repo)}
                {rec.clashes.includes(f.key) && <em> ({P.clash})</em>}
              </dd>
            </div>
          ))}
      </dl>
      {fields
        .filter((f) => f.kind === "table")
        .map((f) => (
          <div key={f.key}>
            <Head>{f.label}</Head>
            <Table
              name={f.label}
              heads={(f.columns ?? []).map((c) => c.label)}
              list={rows(rec, f.key).map((r) =>
                (f.columns ?? []).map((c) => saying(c, r[c.key], r.unit, p.repo)),
              )}
            />
          </div>
        ))}
    </>
  );
}

export function Notes({ p, of }: { p: SheetProps; of: Rec }) {
  const list = about(p.repo, "note", of.id);
  if (list.length === 0) return null;
  return (
    <Part title={P.notes}>
      {list.map((n) => (
        <p key={n.id} class="paper-note">
          {text(n, "text")} <small>{commas(n.made && stamp(n.made), writer(n.by))}</small>
        </p>
      ))}
    </Part>
  );
}

export function Photos({ p, of }: { p: SheetProps; of: Rec }) {
  const list = about(p.repo, "photo", of.id).filter((x) => p.extra.photos.has(x.id));
  if (list.length === 0) return null;
  return (
    <Part title={P.photos}>
      <div class="paper-photos">
        {list.map((x) => {
          const line = commas(nameOf(x), text(x, "view"), say(p, x, "taken"));
          return (
            <figure key={x.id}>
              <img src={p.extra.photos.get(x.id)} alt={line} />
              <figcaption>{line}</figcaption>
            </figure>
          );
        })}
      </div>
    </Part>
  );
}
