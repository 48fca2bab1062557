import type { ComponentChildren, ComponentType } from "preact";
import { useState } from "preact/hooks";
import type { Field } from "../engine/contract.gen";
import { FaultLine } from "../ui/parts";
import { W } from "../text/words";
import type { FieldProps, One } from "./props";
import { joinList, splitList } from "./rowtext";
import { likeIt, plain, rowsOf, type TypedRow } from "./typed";

/** So many rows of a table are listed; the others on request. */
const FEW = 20;

function Rows({
  id,
  f,
  fault,
  explain,
  children,
}: Omit<FieldProps, "value" | "set"> & { id: string; children: ComponentChildren }) {
  return (
    <fieldset class="rows field-wrap wide" aria-describedby={fault ? `${id}-fault` : undefined}>
      <legend>{f.label}</legend>
      {explain && f.help && <p class="help">{f.help}</p>}
      {children}
      <FaultLine id={`${id}-fault`} text={fault || undefined} />
    </fieldset>
  );
}

/** Takes a row out. */
function Out({ label, n, out }: { label: string; n: number; out: () => void }) {
  return (
    <button type="button" class="square" aria-label={W.list.remove(label, n)} onClick={out}>
      ✕
    </button>
  );
}

/** Readings one under another: each its own field, a new one always ready at the end. */
export function ListEditor({ Cell, ...p }: One & { Cell: ComponentType<One & { empty?: string }> }) {
  const { id, f, value, set } = p;
  const rows = splitList(value);
  const shown = rows.at(-1) === "" ? rows : [...rows, ""];
  return (
    <Rows {...p}>
      {shown.map((row, i) => (
        <div class="row" key={i}>
          <Cell
            id={`${id}-${i}`}
            prefix={id}
            f={{ ...f.columns![0]!, key: f.key, label: W.list.row(i + 1) }}
            unit={p.unit}
            row={f.label}
            value={row}
            empty={i === shown.length - 1 ? W.list.addValue : ""}
            set={(v) => set(joinList(shown.map((r, j) => (j === i ? plain(v) : r))))}
          />
          {i < rows.length && (
            <Out label={f.label} n={i + 1} out={() => set(joinList(rows.filter((_, j) => j !== i)))} />
          )}
        </div>
      ))}
    </Rows>
  );
}

/** The text of a cell: a choice by its label. */
const said = (column: Field, cell: string | undefined): string =>
  column.options?.find((o) => o.key === cell)?.label || cell || "–";

/** What other rows are called in a column, each once, the last first. */
const namesOf = (rows: readonly TypedRow[], key: string, but: number): string[] =>
  [
    ...new Set(
      rows.flatMap((r, i) => (i !== but && r.cells[key]?.trim() ? [r.cells[key].trim()] : [])).reverse(),
    ),
  ].slice(0, 6);

/** A table edited a row at a time: the rows so far as text, and one open with its fields. */
export function TableEditor({ Cell, ...p }: FieldProps & { id: string; Cell: ComponentType<FieldProps> }) {
  const { id, f, value, set } = p;
  const columns = f.columns ?? [];
  const rows = rowsOf(f, value);
  // A worksheet asks for its table; a record may have many and need none.
  const [open, setOpen] = useState(rows.length === 0 && typeof value === "string" ? 0 : -1);
  const [all, showAll] = useState(false);
  // The holes of a whole shop are thousands of rows: a few are enough to see what is there.
  const most = all ? rows.length : Math.max(FEW, open + 1);
  const current: TypedRow | undefined = open < 0 ? undefined : (rows[open] ?? { row: "", cells: {} });
  const put = (next: TypedRow[]) => set(likeIt(f, value, next));
  return (
    <Rows {...p}>
      {rows.length > 0 && (
        <ol class="row-list">
          {rows.slice(0, most).map((row, i) => (
            <li key={row.row || i} class={i === open ? "open" : ""}>
              <button type="button" class="row-text" onClick={() => setOpen(i === open ? -1 : i)}>
                <span class="unseen">{W.list.edit(f.label, i + 1)}</span>
                <span class="row-n" aria-hidden="true">
                  {i + 1}
                </span>
                {columns
                  .filter((c) => row.cells[c.key] || !c.optional)
                  .map((c) => (
                    <span key={c.key} class="row-cell">
                      <small>{c.label}</small> <span class="num">{said(c, row.cells[c.key])}</span>
                    </span>
                  ))}
              </button>
              <Out
                label={f.label}
                n={i + 1}
                out={() => {
                  setOpen(-1);
                  put(rows.filter((_, j) => j !== i));
                }}
              />
            </li>
          ))}
        </ol>
      )}
      {rows.length > most && (
        <button type="button" class="chip" onClick={() => showAll(true)}>
          {W.list.all(rows.length)}
        </button>
      )}
      {current && (
        <div class="row-open">
          <p class="row-title">{W.list.row(open + 1)}</p>
          {columns.map((c) => (
            <Cell
              key={c.key}
              prefix={id}
              f={c}
              unit={p.unit}
              explain={p.explain}
              offers={p.offers}
              row={W.list.row(open + 1)}
              known={c.kind === "text" ? namesOf(rows, c.key, open) : []}
              value={current.cells[c.key] ?? ""}
              set={(v) => {
                const next = [...rows];
                next[open] = { ...current, cells: { ...current.cells, [c.key]: plain(v) } };
                put(next);
              }}
            />
          ))}
        </div>
      )}
      <div class="chips">
        {current && (
          <button type="button" class="chip" onClick={() => setOpen(-1)}>
            {W.list.done}
          </button>
        )}
        <button type="button" class="chip" onClick={() => setOpen(rows.length)}>
          {W.list.add}
        </button>
      </div>
    </Rows>
  );
}
