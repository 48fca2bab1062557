import { useLayoutEffect, useRef } from "preact/hooks";
import type { Field, UnitSystem } from "../engine/contract.gen";
import { needleShown } from "../form/needle";
import { joinList, joinTable, splitList, splitTable } from "../form/rowtext";
import { W } from "../text/words";
import { InputBox } from "./box";
import { boxName } from "./ways";

export interface StripProps {
  id: string;
  f: Field;
  unit: UnitSystem;
  value: string;
  /** The column typed in a strip, or two typed one after the other, and the one above it; none for a row at a time. */
  flat: string[];
  /** Names of the first place and the last. */
  ends: string[];
  /** Each row is a round: Next behind its last column ends it, and what was read before stands faint. */
  goesOn: boolean;
  order: number;
  /** Its rows are touched on the drawing: no numbers stand here. */
  drawn?: boolean;
  /** No place can be touched on the drawing: what stands above the strip always does. */
  placeless?: boolean;
  required: boolean;
  fault: boolean;
  /** Where the rows came from, when the job gave them. */
  from?: string | undefined;
  /** The row that was opened. */
  row: number | undefined;
  openRow: (row: number) => void;
  set: (text: string) => void;
}

/** A flat strip has at least as many places as make a line and its middle. */
const FEW = 3;

const columnsOf = (f: Field): Field[] => f.columns ?? [];

export const rowsOf = (f: Field, value: string): string[][] =>
  f.kind === "list" ? splitList(value).map((x) => [x]) : splitTable(value, columnsOf(f).length);

export const cellId = (id: string, row: number, column: number): string => `${id}-${row}-${column}`;

const joined = (f: Field, rows: string[][]): string =>
  f.kind === "list" ? joinList(rows.map((r) => r[0] ?? "")) : joinTable(rows);

const blank = (row: string[] | undefined): boolean => !row || row.every((c) => c.trim() === "");

/**
 * The rows of a list under their drawing: all readings side by side, or the columns of the row that
 * is open. Next goes along, then to the next row; on the empty one behind the last it ends the list.
 */
export function Strip(p: StripProps) {
  const { f } = p;
  const box = useRef<HTMLDivElement>(null);
  const going = useRef("");
  const rows = rowsOf(f, p.value);
  const columns = columnsOf(f);
  const list = p.flat.length > 0 || f.kind === "list";
  const at = Math.min(p.row ?? (p.goesOn ? Math.max(0, rows.length - 1) : 0), rows.length);
  const idOf = (row: number, column: number): string => cellId(p.id, row, column);

  const go = (id: string): void => {
    const el = document.getElementById(id) as HTMLInputElement | null;
    if (el) {
      el.inputMode = (document.activeElement as HTMLInputElement | null)?.inputMode ?? "";
      el.focus();
      el.select?.();
    } else going.current = id;
  };
  useLayoutEffect(() => {
    if (!going.current || !document.getElementById(going.current)) return;
    const id = going.current;
    going.current = "";
    go(id);
  });
  const column = (key: string): number => columns.findIndex((c) => c.key === key);
  const mains = f.kind === "list" ? [0] : (p.flat[0] ?? "").split("/").map(column);
  const above = p.flat[1] ? column(p.flat[1]) : -1;

  // A place touched on the drawing is moved, or read again.
  const touched = useRef(p.row);
  useLayoutEffect(() => {
    if (!list || p.row === undefined || p.row === touched.current) return;
    touched.current = p.row;
    go(idOf(p.row, above >= 0 ? above : (mains[0] ?? 0)));
  });

  useLayoutEffect(() => {
    const el = box.current!;
    const next = (e: Event) => {
      const from = (e.target as HTMLElement)
        .closest<HTMLElement>("[data-cell]")
        ?.dataset["cell"]?.split(" ")
        .map(Number);
      if (!from) return;
      const [row = 0, column = 0] = from;
      if (list) {
        const strip = mains.indexOf(column);
        const second = mains[strip + 1];
        const typed = (rows[row]?.[column] ?? "").trim() !== "";
        // Along the first strip, the faint place at its end included; then along the second.
        if (strip === 0 && typed) {
          e.preventDefault();
          return go(idOf(row + 1, column));
        }
        if (strip === 0 && second !== undefined && rows.length > 0) {
          e.preventDefault();
          return go(idOf(0, second));
        }
        if (strip > 0 && row + 1 < rows.length) {
          e.preventDefault();
          return go(idOf(row + 1, column));
        }
        return;
      }
      const wants = columns.findIndex((c, j) => j > column && !c.optional && !c.options);
      if (blank(rows[row])) return;
      if (wants < 0 && p.goesOn) return;
      e.preventDefault();
      if (wants > 0) return go(idOf(row, wants));
      p.openRow(row + 1);
      go(idOf(row + 1, firstTyped(columns)));
    };
    el.addEventListener("pad-next", next);
    return () => el.removeEventListener("pad-next", next);
  });

  const put = (row: number, column: number, text: string) => {
    const all = rows.map((r) => [...r]);
    while (all.length <= row) all.push(columns.map(() => ""));
    all[row]![column] = text;
    for (const [j, c] of columns.entries()) {
      // A choice that nobody made in a row that is begun is the usual one, or that of the row before.
      if (!all[row]![j] && j !== column && c.options && !c.optional)
        all[row]![j] = rows[row - 1]?.[j] || c.default || c.options[0]!.key;
    }
    p.set(joined(f, all));
  };
  // The first of an empty list, and in one that is begun what its rows still lack.
  const isOpen = (row: number, j: number): boolean =>
    rows.length === 0 ? row === 0 : row < rows.length && !rows[row]?.[j]?.trim();
  const cell = (row: number, j: number, name: string, strip = 0) => {
    const c = columns[j] ?? f;
    return (
      <div key={j} class={j === above ? "strip-small" : "strip-cell"} data-cell={`${row} ${j}`}>
        <InputBox
          id={idOf(row, j)}
          f={f.kind === "list" ? { ...c, key: f.key, label: name } : c}
          unit={p.unit}
          name={name}
          value={rows[row]?.[j] ?? ""}
          fault={p.fault && row === at}
          from={row === (list ? 0 : at) && j === (list ? mains[0] : 0) ? p.from : undefined}
          order={p.order + strip * 400 + row * 20 + j}
          open={p.required && !c.optional && j !== above && isOpen(row, j)}
          set={(text) => put(row, j, text)}
        />
      </div>
    );
  };
  if (list) {
    const shown = Math.max(rows.length + 1, FEW);
    const last = rows.length === 2 ? 1 : Math.max(rows.length, FEW) - 1;
    const [start = "", end = ""] = p.ends;
    const placeName = (i: number): string => {
      if (i === 0 && start) return start;
      if (i === last && end) return end;
      return i > last ? "+" : start && last === 2 ? W.page.middle : `${i + 1}`;
    };
    return (
      <div class="strip flat" ref={box} role="group" aria-label={f.label} data-list={p.id}>
        {Array.from({ length: shown }, (_, i) => (
          <div key={i} class={`strip-row${i >= FEW && i > last ? " more" : ""}`}>
            {above >= 0 &&
              (rows[i]?.[above] || p.row === i || (p.placeless && rows[i])) &&
              cell(i, above, boxName(columns[above]!))}
            {mains.map((j, k) =>
              k > 0 && i > last ? null : cell(i, j, k > 0 ? boxName(columns[j]!) : placeName(i), k),
            )}
          </div>
        ))}
      </div>
    );
  }
  return (
    <div
      class={`strip${p.drawn ? " drawn" : ""}${columns.length > 4 ? " many" : ""}`}
      ref={box}
      role="group"
      aria-label={f.label}
      data-list={p.id}
    >
      <div class="strip-rows">
        {Array.from({ length: rows.length + 1 }, (_, i) =>
          p.drawn && i < rows.length ? null : (
            <button
              key={i}
              type="button"
              class="chip strip-n"
              aria-pressed={i === at}
              aria-label={i < rows.length ? W.list.edit(f.label, i + 1) : W.page.add(boxName(f))}
              onClick={() => p.openRow(i)}
            >
              {i < rows.length ? i + 1 : "+"}
            </button>
          ),
        )}
        {at < rows.length && (
          <button
            type="button"
            class="chip strip-out"
            aria-label={W.list.remove(f.label, at + 1)}
            onClick={() =>
              p.set(
                joined(
                  f,
                  rows.filter((_, i) => i !== at),
                ),
              )
            }
          >
            ✕
          </button>
        )}
      </div>
      <div class="strip-card">
        {columns.map((c, j) => {
          const before = p.goesOn ? rows[at - 1]?.[j] : undefined;
          return cell(at, j, before ? W.page.before(boxName(c), shownIn(c, before, p.unit)) : boxName(c));
        })}
      </div>
    </div>
  );
}

/** What stands in a cell, as it is read there. */
const shownIn = (c: Field, text: string, unit: UnitSystem): string =>
  c.needle ? needleShown(text, unit) : (c.options?.find((o) => o.key === text)?.label ?? text);

const firstTyped = (columns: Field[]): number => {
  const at = columns.findIndex((c) => !c.options && !c.optional);
  return at < 0 ? 0 : at;
};
