import { useState } from "preact/hooks";
import { W } from "../text/words";

export interface Column {
  key: string;
  label: string;
  num?: boolean;
}

export interface TableRow {
  key: string;
  cells: Record<string, string | undefined>;
  /** What a column of lengths is sorted by. */
  at?: Record<string, number | undefined>;
}

const collator = new Intl.Collator(undefined, { numeric: true });

/** Rows in the order of a column; what is not known stands last either way. */
export function sorted(rows: readonly TableRow[], by: string, down: boolean): TableRow[] {
  if (!by) return [...rows];
  const way = down ? -1 : 1;
  return [...rows].sort((a, b) => {
    const [m, n] = [a.at?.[by], b.at?.[by]];
    if (m !== undefined && n !== undefined) return way * (m - n);
    const [x, y] = [a.cells[by] ?? "", b.cells[by] ?? ""];
    if (!x || !y) return (x ? 0 : 1) - (y ? 0 : 1);
    return way * collator.compare(x, y);
  });
}

/** The table as a spreadsheet takes it from the clipboard: tabs between, a line a row. */
export const asCells = (columns: readonly Column[], rows: readonly TableRow[]): string =>
  [
    columns.map((c) => c.label),
    ...rows.map((r) => columns.map((c) => (r.cells[c.key] ?? "").replace(/\s+/g, " "))),
  ]
    .map((line) => line.join("\t"))
    .join("\n");

/** A table on the office machine: its heads sort it, a row is chosen, all of it is copied. */
export function DataTable({
  name,
  columns,
  rows,
  lit,
  choose,
  say,
}: {
  name: string;
  columns: readonly Column[];
  rows: readonly TableRow[];
  lit?: string;
  choose?: (key: string) => void;
  say: (text: string) => void;
}) {
  const [by, setBy] = useState("");
  const [down, setDown] = useState(false);
  const list = sorted(rows, by, down);
  const copy = () =>
    navigator.clipboard.writeText(asCells(columns, list)).then(
      () => say(W.table.copied(list.length)),
      () => say(W.table.notCopied),
    );
  return (
    <div class="data-table">
      <table>
        <caption class="unseen">{name}</caption>
        <thead>
          <tr>
            {columns.map((c) => (
              <th
                key={c.key}
                scope="col"
                aria-sort={by === c.key ? (down ? "descending" : "ascending") : "none"}
              >
                <button
                  type="button"
                  onClick={() => {
                    setDown(by === c.key && !down);
                    setBy(c.key);
                  }}
                >
                  {c.label}
                  {by === c.key && <span aria-hidden="true">{down ? " ▾" : " ▴"}</span>}
                </button>
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {list.map((r) => (
            <tr
              key={r.key}
              class={r.key === lit ? "lit" : ""}
              aria-selected={r.key === lit}
              onClick={() => choose?.(r.key)}
            >
              {columns.map((c) => (
                <td key={c.key} class={c.num ? "num" : ""}>
                  {r.cells[c.key]}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
      <button type="button" class="chip" onClick={() => void copy()}>
        {W.table.copy}
      </button>
    </div>
  );
}
