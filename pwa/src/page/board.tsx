import type { ComponentChildren } from "preact";
import { useLayoutEffect, useMemo, useRef, useState } from "preact/hooks";
import type { Answer, Field, Sheet, UnitSystem } from "../engine/contract.gen";
import { bareOf, boxSize, WIDTH, type Asking, type Picture, type Spot } from "../drawing/pad";
import { Sheet as Drawn } from "../drawing/parts";
import { px } from "../drawing/scale";
import { pictureOf, workedOut } from "../drawing/shown";
import { W } from "../text/words";
import { InputBox, usualOf } from "./box";
import { rowsOf } from "./strip";
import { boxName, isOpen, typed, type Box, type Texts } from "./ways";

export interface BoardProps {
  sheet: Sheet;
  unit: UnitSystem;
  texts: Texts;
  boxes: Box[];
  fieldOf: (key: string) => Field | undefined;
  shape: Answer | undefined;
  faint: boolean;
  /** The answer, where there is one: worked-out figures stand on the drawing. */
  answer: Answer | undefined;
  listed: boolean;
  faultOf: (key: string) => string;
  from: Readonly<Texts>;
  /** What another worksheet's answer puts in, as it is read. */
  fed: Readonly<Texts>;
  put: (change: Texts) => void;
  /** The row of a list that is open, and its change. */
  rowOf: (list: string) => number;
  openRow: (list: string, row: number) => void;
  /** With `drawn` its rows are places that are touched on the drawing. */
  strips: (list: string, order: number, drawn: boolean) => ComponentChildren;
  bold: string[];
}

/** The drawing with the boxes of its inputs; where they have no room, letters, and a list of cells. */
export function Board(p: BoardProps) {
  const [lit, light] = useState("");
  const [list, openList] = useState<string>();
  const entered = useRef("");
  useLayoutEffect(() => {
    const strip = entered.current && document.querySelector(`[data-list="${entered.current}"]`);
    if (!strip) return;
    entered.current = "";
    const first = strip.querySelector<HTMLInputElement>('input[data-open="yes"], input');
    if (!first) return;
    const from = document.activeElement;
    first.inputMode = from instanceof HTMLInputElement ? from.inputMode : "";
    first.focus({ preventScroll: true });
  });
  const drawn = useMemo(
    () => p.shape && pictureOf(p.sheet.drawing, p.shape, p.faint),
    [p.sheet.drawing, p.shape, p.faint],
  );
  // What is typed may pick another worksheet: until its drawing is there the last one holds the box
  // that is typed in.
  const last = useRef(drawn);
  if (drawn) last.current = drawn;
  const picture = drawn ?? last.current;
  const asks = new Map<string, Asking[]>();
  for (const a of picture?.asks ?? []) asks.set(a.key, [...(asks.get(a.key) ?? []), a]);
  const lists = new Set(p.boxes.filter((b) => isList(p.fieldOf(b.key))).map((b) => b.key));
  // Of several lists one is open: the one that was touched, else the first that has to be filled in.
  const wanting = p.boxes.find((b) => lists.has(b.key) && isOpen(b, p.fieldOf(b.key), p.texts))?.key;
  const opened = lists.size < 2 ? undefined : list && lists.has(list) ? list : wanting;
  let letters = 0;
  const ring = new Map<Asking | string, string>();
  if (p.listed) {
    for (const b of p.boxes) {
      if (lists.has(b.key)) continue;
      const list: (Asking | string)[] = asks.get(b.key) ?? [b.key];
      for (const one of list) ring.set(one, String.fromCharCode(65 + letters++));
    }
  }
  const box = (b: Box, order: number, ask?: Asking) => {
    const f = p.fieldOf(b.key);
    if (!f) return null;
    const ruled = !ask?.when || Object.entries(ask.when).every(([k, v]) => stands(p, k) === v);
    const value = ruled ? (p.texts[b.key] ?? "") : "";
    const worked = ask?.worked ? workedOut(p.sheet, p.answer, ask.worked) : bareOf(p.fed[b.key] ?? "");
    const w = ask?.w ?? 0;
    const usual = worked || (ask?.worked ? "" : usualOf(f, p.unit));
    return (
      <InputBox
        // One that stands there once is the same box before and after something is worked out in it.
        key={(asks.get(b.key)?.length ?? 0) > 1 ? `${b.key} ${ask?.worked ?? ""}` : b.key}
        id={`${p.sheet.name}-${b.key}${ask?.worked ? `-${ask.worked}` : ""}`}
        f={f}
        unit={p.unit}
        value={value}
        fault={p.faultOf(b.key) !== "" && ruled}
        order={order}
        open={isOpen(b, f, p.texts) && ruled && !worked}
        name={ask?.name}
        letter={ring.get(ask ?? b.key)}
        usual={usual}
        worked={!!worked}
        from={p.from[b.key]}
        touched={() => light(b.key)}
        {...(ask &&
          !p.listed && {
            style: {
              left: `${px((ask.x / WIDTH) * 100)}%`,
              top: `${px((ask.y / WIDTH) * 100)}cqw`,
              width: `${w}px`,
              "--fit": `${px(boxSize(value || worked || usual, w) / 16)}rem`,
            },
            placed: true,
          })}
        set={(text) => p.put({ [b.key]: text, ...(text && ask?.when) })}
      />
    );
  };
  const listable = (key: string): boolean => p.boxes.some((b) => b.key === key);
  const placed: ComponentChildren[] = [];
  const strips: ComponentChildren[] = [];
  const keys: ComponentChildren[] = [];
  p.boxes.forEach((b, i) => {
    const order = (i + 1) * 1000;
    if (lists.has(b.key)) {
      // Typical places are not touched: until there is an answer the rows have their keys.
      const drawn =
        !p.listed && (!p.faint || !typed(p.texts, b.key)) && !!picture?.spots.some((s) => s.key === b.key);
      if (lists.size < 2) return strips.push(p.strips(b.key, order, drawn));
      if (b.key === opened)
        return strips.push(
          <OpenList key={b.key} touched={() => openList(b.key)} left={() => openList("")}>
            {p.strips(b.key, order, drawn)}
          </OpenList>,
        );
      return keys.push(
        <ListKey
          key={b.key}
          f={p.fieldOf(b.key)!}
          value={p.texts[b.key] ?? ""}
          wants={isOpen(b, p.fieldOf(b.key), p.texts)}
          fault={p.faultOf(b.key) !== ""}
          order={order}
          open={(first) => {
            openList(b.key);
            if (first) entered.current = `${p.sheet.name}-${b.key}`;
          }}
        />,
      );
    }
    const mine = asks.get(b.key);
    if (!mine && picture?.none.includes(b.key) && !typed(p.texts, b.key)) return;
    if (!mine) return placed.push(box(b, order));
    mine.forEach((a, k) => placed.push(box(b, order + k, a)));
  });
  // What a box of the list shows as it is worked out is not told twice.
  const own = new Set((picture?.asks ?? []).flatMap((a) => (a.worked && listable(a.key) ? [a.worked] : [])));
  const figures = p.listed
    ? p.bold.flatMap((key) => {
        if (own.has(key)) return [];
        const r = p.sheet.results.find((x) => x.key === key);
        const found = p.answer?.results[key];
        return r && found && !p.faint
          ? [{ key, label: r.label, text: bareOf(found.shown ?? found.text) }]
          : [];
      })
    : [];
  // What is typed first stands first.
  const listFirst = p.listed && lists.has(p.boxes[0]?.key ?? "");
  return (
    <div class={`board${p.faint ? " faint" : ""}${p.listed ? " listed" : ""}`} data-lit={lit}>
      <div class="picture">
        {picture ? (
          <Lit lit={lit} picture={picture} ring={ring} asks={picture.asks} />
        ) : (
          <div class="drawing-wait" />
        )}
        {/* One place for all of them, on the drawing or under it: what is being typed into is not moved. */}
        {!p.listed && <div class="boxes">{placed}</div>}
        {picture && !p.listed && (
          <Touches
            {...p}
            picture={picture}
            opened={lists.size < 2 ? undefined : (opened ?? "")}
            openRow={(key, row) => {
              openList(key);
              p.openRow(key, row);
            }}
          />
        )}
      </div>
      {p.faint && picture && <p class="board-note">{W.page.notYet}</p>}
      {listFirst && strips}
      {p.listed && (
        <div class="cells">
          {placed}
          {figures.map((f) => (
            <div key={f.key} class="bx cell bx-figure">
              <span class="bx-name">{f.label}</span>
              <b class="num">{f.text}</b>
            </div>
          ))}
        </div>
      )}
      {!listFirst && strips}
      {keys.length > 0 && <div class="lists">{keys}</div>}
    </div>
  );
}

/** The list that is open. Where Next leads out of it it is closed: the answer stands on one screen. */
function OpenList(p: { touched: () => void; left: () => void; children: ComponentChildren }) {
  const box = useRef<HTMLDivElement>(null);
  useLayoutEffect(() => {
    const el = box.current!;
    const next = (e: Event) => e.defaultPrevented || p.left();
    el.addEventListener("pad-next", next);
    return () => el.removeEventListener("pad-next", next);
  });
  return (
    <div ref={box} onFocusIn={p.touched}>
      {p.children}
    </div>
  );
}

/** A list that is not open: what it is of and how long it is. Next comes to it where it is empty. */
function ListKey(p: {
  f: Field;
  value: string;
  wants: boolean;
  fault: boolean;
  order: number;
  open: (first: boolean) => void;
}) {
  const name = boxName(p.f);
  const n = rowsOf(p.f, p.value).length;
  return (
    <input
      type="button"
      name={p.f.key}
      class={`chip list-key${p.fault ? " wrong" : ""}${p.wants ? " open" : ""}`}
      value={n > 0 ? `${name} ${n}` : name}
      aria-label={n > 0 ? W.list.rows(p.f.label, n) : W.page.add(name)}
      data-next={p.order}
      data-nextname={name}
      data-open={p.wants ? "yes" : "no"}
      onFocus={() => p.wants && p.open(true)}
      onClick={() => p.open(p.wants)}
    />
  );
}

const isList = (f: Field | undefined): boolean => f?.kind === "list" || f?.kind === "table";

/** What an input stands at: typed, or usual. */
const stands = (p: BoardProps, key: string): string => p.texts[key] || (p.fieldOf(key)?.default ?? "");

/** The drawing itself; lines of the input being typed are lit. */
function Lit({
  picture: p,
  lit,
  ring,
  asks,
}: {
  picture: Picture;
  lit: string;
  ring: Map<Asking | string, string>;
  asks: Asking[];
}) {
  const marks = lit ? p.marks.map((m) => (m.of === lit ? { ...m, k: `${m.k} lit` } : m)) : p.marks;
  return (
    <Drawn width={p.w} height={p.h} says={p.says} marks={marks}>
      {p.words.map((w, i) => (
        <text key={i} class={`d-tag d-over ${w.k}`} x={px(w.x)} y={px(w.y)} text-anchor={w.a}>
          {w.s}
        </text>
      ))}
      {asks.map((a) => {
        const letter = ring.get(a);
        return letter ? (
          <g key={letter} class="d-ring">
            <circle cx={px(a.x)} cy={px(a.y)} r="15" />
            <text x={px(a.x)} y={px(a.y + 6)} text-anchor="middle">
              {letter}
            </text>
          </g>
        ) : null;
      })}
    </Drawn>
  );
}

/** A finger's target on the drawing, and the least that it may be, in px. */
const TARGET = 48;
const LEAST = 24;

/**
 * What a finger meets at places on the drawing: of two that are near each other each gets half of
 * what is between them; those that no finger tells apart are one target, which opens one after the
 * other.
 */
function targets(spots: Spot[]): { spots: [Spot, ...Spot[]]; size: number }[] {
  const apart = (a: Spot, b: Spot) => Math.max(Math.abs(a.x - b.x), Math.abs(a.y - b.y));
  const out: { spots: [Spot, ...Spot[]]; size: number }[] = [];
  for (const s of spots) {
    const near = out.find((o) => apart(o.spots[0], s) < LEAST);
    if (near) near.spots.push(s);
    else out.push({ spots: [s], size: TARGET });
  }
  for (const o of out)
    for (const other of out) if (other !== o) o.size = Math.min(o.size, apart(o.spots[0], other.spots[0]));
  return out;
}

/** What is touched on the drawing: places of a list, and areas that make a choice. */
function Touches(p: BoardProps & { picture: Picture; opened: string | undefined }) {
  const at = (x: number, y: number) => ({
    left: `${px((x / WIDTH) * 100)}%`,
    top: `${px((y / WIDTH) * 100)}cqw`,
  });
  return (
    <>
      {p.picture.areas.map((a) => {
        const f = p.fieldOf(a.key);
        const [l, t, r, b] = a.box;
        const on = stands(p, a.key) === a.value;
        return (
          <button
            key={`${a.key} ${a.value}`}
            type="button"
            class="area"
            aria-pressed={on}
            aria-label={f?.options?.find((o) => o.key === a.value)?.label ?? `${f?.label} ${a.value}`}
            style={{
              ...at(l, t),
              width: `${px(((r - l) / WIDTH) * 100)}%`,
              height: `${px(((b - t) / WIDTH) * 100)}cqw`,
            }}
            onClick={() => p.put({ [a.key]: f?.kind === "flag" && on ? "no" : a.value })}
          />
        );
      })}
      {!p.faint &&
        targets(p.picture.spots).map(({ spots: [s, ...rest], size }) => {
          const f = p.fieldOf(s.key);
          const all = [s, ...rest];
          const open = all.findIndex((o) => p.rowOf(o.key) === o.row && (p.opened ?? o.key) === o.key);
          const next = all[(open + 1) % all.length]!;
          return (
            <button
              key={`${s.key} ${s.row}`}
              type="button"
              class="spot"
              aria-label={W.list.edit(f ? boxName(f) : s.key, s.row + 1)}
              aria-pressed={open >= 0}
              style={{ ...at(s.x, s.y), "--target": `${px(size / 16)}rem` }}
              onClick={() => p.openRow(next.key, next.row)}
            />
          );
        })}
    </>
  );
}
