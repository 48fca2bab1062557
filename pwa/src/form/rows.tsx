import { useState } from "preact/hooks";
import type { Column } from "../engine/contract.gen";
import { FaultLine, Segments } from "../ui/parts";
import { W } from "../text/words";
import type { FieldProps } from "./props";
import { joinList, joinTable, splitList, splitTable } from "./rowtext";

type Props = FieldProps & { id: string };

/** So many rows of a table are listed; the others on request. */
const FEW = 20;

/** Readings one under another: each its own field, a new one always ready at the end. */
export function ListEditor({ id, input, unit, value, fault, explain, set }: Props) {
  const rows = splitList(value);
  const column = input.columns?.[0];
  const units = column?.units ?? input.units;
  const shown = rows.length > 0 && rows.at(-1) === "" ? rows : [...rows, ""];
  const put = (i: number, text: string) => set(joinList(shown.map((r, j) => (j === i ? text : r))));
  return (
    <fieldset class="rows field-wrap wide" aria-describedby={fault ? `${id}-fault` : undefined}>
      <legend>{input.label}</legend>
      {explain && input.help && <p class="help">{input.help}</p>}
      {shown.map((row, i) => (
        <div class="row" key={i}>
          <div class="field">
            <label for={`${id}-${i}`}>{W.list.row(i + 1)}</label>
            <input
              id={`${id}-${i}`}
              class="num"
              type="text"
              value={row}
              autocomplete="off"
              autocapitalize="off"
              spellcheck={false}
              enterkeyhint="next"
              placeholder={i === shown.length - 1 ? W.list.addValue : ""}
              data-pad={column?.kind ?? "list"}
              data-label={`${input.label}, ${W.list.row(i + 1)}`}
              data-units={units ? `${units.in},${units.mm}` : ""}
              onInput={(e) => put(i, e.currentTarget.value)}
            />
            {units && (
              <span class="field-unit" aria-hidden="true">
                {units[unit]}
              </span>
            )}
          </div>
          {i < rows.length && (
            <button
              type="button"
              class="square"
              aria-label={W.list.remove(i + 1)}
              onClick={() => set(joinList(rows.filter((_, j) => j !== i)))}
            >
              ✕
            </button>
          )}
        </div>
      ))}
      <FaultLine id={`${id}-fault`} text={fault || undefined} />
    </fieldset>
  );
}

/** The way back from a choice that need not be made. */
const unsaid = { key: "", label: "–" };

/** A cell in words: a choice by its label. */
const said = (column: Column, cell: string | undefined): string =>
  column.options?.find((o) => o.key === cell)?.label || cell || "–";

/** A table a row at a time: the rows so far to read and touch, and one open with its fields. */
export function TableEditor({ id, input, unit, value, fault, explain, set }: Props) {
  const columns: Column[] = input.columns ?? [];
  const rows = splitTable(value, columns.length);
  const [open, setOpen] = useState(rows.length === 0 ? 0 : -1);
  const [all, showAll] = useState(false);
  // The holes of a whole shop are thousands of rows: a few are enough to see what is there.
  const most = all ? rows.length : Math.max(FEW, open + 1);
  const blank = columns.map(() => "");
  const current = open >= 0 ? (rows[open] ?? blank) : undefined;
  const put = (col: number, text: string) => {
    if (open < 0 || !current) return;
    const next = [...rows];
    next[open] = current.map((c, j) => (j === col ? text : c));
    set(joinTable(next));
  };
  return (
    <fieldset class="rows field-wrap wide" aria-describedby={fault ? `${id}-fault` : undefined}>
      <legend>{input.label}</legend>
      {explain && input.help && <p class="help">{input.help}</p>}
      {rows.length > 0 && (
        <ol class="row-list">
          {rows.slice(0, most).map((row, i) => (
            <li key={i} class={i === open ? "open" : ""}>
              <button type="button" class="row-text" onClick={() => setOpen(i)}>
                <span class="unseen">{W.list.edit(i + 1)}</span>
                <span class="row-n" aria-hidden="true">
                  {i + 1}
                </span>
                {columns.map((c, j) => (
                  <span key={c.key} class="row-cell">
                    <small>{c.label}</small> <span class="num">{said(c, row[j])}</span>
                  </span>
                ))}
              </button>
              <button
                type="button"
                class="square"
                aria-label={W.list.remove(i + 1)}
                onClick={() => {
                  setOpen(-1);
                  set(joinTable(rows.filter((_, j) => j !== i)));
                }}
              >
                ✕
              </button>
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
          {columns.map((c, j) =>
            c.kind === "choice" ? (
              <div class="field-wrap wide" key={c.key}>
                <Segments
                  name={`${id}-${c.key}`}
                  legend={c.label}
                  options={[...(c.optional ? [unsaid] : []), ...(c.options ?? [])]}
                  value={current[j] ?? ""}
                  pick={(key) => put(j, key)}
                />
              </div>
            ) : (
              <div class={c.label.length > 18 ? "field long-name" : "field"} key={c.key}>
                <label for={`${id}-${c.key}`}>{c.label}</label>
                <input
                  id={`${id}-${c.key}`}
                  class="num"
                  type="text"
                  value={current[j] ?? ""}
                  autocomplete="off"
                  autocapitalize="off"
                  spellcheck={false}
                  enterkeyhint="next"
                  {...(c.kind === "text"
                    ? {}
                    : {
                        "data-pad": c.kind,
                        "data-label": `${W.list.row(open + 1)}, ${c.label}`,
                        "data-units": c.units ? `${c.units.in},${c.units.mm}` : "",
                      })}
                  onInput={(e) => put(j, e.currentTarget.value)}
                />
                {c.units && (
                  <span class="field-unit" aria-hidden="true">
                    {c.units[unit]}
                  </span>
                )}
              </div>
            ),
          )}
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
      <FaultLine id={`${id}-fault`} text={fault || undefined} />
    </fieldset>
  );
}
