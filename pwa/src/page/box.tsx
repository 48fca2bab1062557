import type { ComponentChildren } from "preact";
import type { Field, Option, UnitSystem } from "../engine/contract.gen";
import { NUMERIC } from "../form/keypad/layout";
import { inOwn, needleUsual, useNeedle } from "../form/needle";
import { W } from "../text/words";
import { FromMark } from "./from-mark";
import { boxName } from "./ways";

export interface BoxProps {
  id: string;
  f: Field;
  unit: UnitSystem;
  value: string;
  fault?: boolean;
  /** Place in the order of Next, and whether it still wants a value. */
  order: number;
  open: boolean;
  /** Its name where it stands, when that is another than the field's. */
  name?: string | undefined;
  /** Letter of its ring on the drawing, in a list that mirrors it. */
  letter?: string | undefined;
  /** What stands in it while nothing is typed: usual, or worked out. */
  usual?: string | undefined;
  worked?: boolean;
  /** Where its value came from, when the job gave it. */
  from?: string | undefined;
  style?: Record<string, string>;
  /** It stands on the drawing. */
  placed?: boolean;
  set: (text: string) => void;
  touched?: () => void;
}

/** The words that stand for a number, as the keypad offers them. */
const offered = (f: Field): string | undefined =>
  f.words && f.words.map((w) => `${w.key}=${w.label}`).join(",");

/** What stands in an empty box: the word or the value that is usual there. */
export const usualOf = (f: Field, unit: UnitSystem = "in"): string =>
  f.needle
    ? needleUsual(f.default ?? "", unit)
    : (f.words?.find((w) => w.key === f.default)?.label ??
      (f.units?.in === "in" ? inOwn(f, f.default ?? "", unit) : (f.default ?? "").replace(/ (in|mm)$/, "")));

/** A bare number in a reading's box is what the needle shows. */
const padOf = (f: Field): string =>
  f.needle || (f.kind === "length" && f.units?.in === "thou") ? "reading" : f.kind;

/**
 * An input's box, on a drawing or as a cell of the list beside it: solid with a value, dashed while
 * it wants one, without an edge where a worked-out figure stands.
 */
export function InputBox(p: BoxProps) {
  const { f } = p;
  const { value, set, bare } = useNeedle(f, p.unit, p.value, p.set);
  const pad = NUMERIC.has(f.kind);
  const name = p.name ?? boxName(f);
  const word = f.words?.find((w) => w.key === value.trim().toLowerCase());
  const usual = p.usual ?? usualOf(f, p.unit);
  const look = value ? "set" : p.worked && usual ? "worked" : p.open ? "open" : "usual";
  return (
    <div
      class={`bx bx-${look}${value || usual ? "" : " bx-named"}${p.fault ? " wrong" : ""}${p.letter ? " cell" : ""}${p.placed ? " placed" : ""}`}
      style={p.style}
    >
      {p.letter && (
        <span class="ring" aria-hidden="true">
          {p.letter}
        </span>
      )}
      <label for={p.id} class={value || usual || p.letter ? "bx-name" : "unseen"}>
        {name}
      </label>
      {f.kind === "choice" || f.kind === "flag" ? (
        <Choose {...p} />
      ) : (
        <input
          id={p.id}
          name={f.key}
          type="text"
          class={pad ? "num" : ""}
          value={word ? word.label : value}
          placeholder={usual || (p.letter ? "" : name)}
          maxLength={f.most ?? 400}
          autocomplete="off"
          autocapitalize="off"
          autocorrect="off"
          spellcheck={false}
          enterkeyhint="next"
          aria-invalid={p.fault ? "true" : undefined}
          aria-required={f.required || undefined}
          data-next={p.order}
          data-nextname={name}
          data-open={p.open ? "yes" : "no"}
          data-words={offered(f)}
          {...(p.from && value && { "data-from": p.from, "aria-describedby": `${p.id}-from` })}
          {...(pad && {
            "data-pad": padOf(f),
            "data-habit": f.lately,
            "data-label": name,
            "data-units": bare ? "thou,mm" : f.units && `${f.units.in},${f.units.mm}`,
            "data-bare": bare,
          })}
          onFocus={p.touched}
          onInput={(e) => set(e.currentTarget.value)}
        />
      )}
      {p.from && value && <FromMark id={`${p.id}-from`} from={p.from} />}
    </div>
  );
}

/** A choice as it stands in a box: offered, never typed. */
function Choose({ id, f, value, set, order }: BoxProps) {
  const options =
    f.kind === "flag"
      ? [
          { key: "no", label: W.sheet.no },
          { key: "yes", label: W.sheet.yes },
        ]
      : (f.options ?? []);
  return (
    <select
      id={id}
      name={f.key}
      data-next={order}
      value={value || (f.default ?? (f.kind === "flag" ? "no" : ""))}
      onChange={(e) => set(e.currentTarget.value)}
    >
      {!f.default && f.kind === "choice" && <option value="">–</option>}
      {options.map((o) => (
        <option key={o.key} value={o.key}>
          {says(o)}
        </option>
      ))}
    </select>
  );
}

/** What an option is called on a chip. */
const says = (o: Option): string => o.short ?? o.label;

/** A choice of too many or too long names for chips side by side: a list to choose from. */
export function isPick(f: Field): boolean {
  const options = f.options ?? [];
  const long = options.reduce((n, o) => n + says(o).length + 3, 0);
  return f.kind !== "flag" && (options.length > 4 || long > 36);
}

/** A choice under the drawing: side by side where it is short, else a key that opens the list. */
export function Chips({
  id,
  f,
  value,
  set,
}: {
  id: string;
  f: Field;
  value: string;
  set: (text: string) => void;
}): ComponentChildren {
  const flag = f.kind === "flag";
  const options = f.options ?? [];
  const now = value || (f.default ?? "");
  if (flag) {
    const on = now === "yes";
    return (
      <button type="button" class="chip" aria-pressed={on} onClick={() => set(on ? "no" : "yes")}>
        {f.box ?? f.label}
      </button>
    );
  }
  if (!isPick(f)) {
    return (
      <div class="seg" role="group" aria-label={f.label}>
        {options.map((o) => (
          <button
            key={o.key}
            type="button"
            class="chip"
            aria-pressed={o.key === now}
            onClick={() => set(o.key)}
          >
            {says(o)}
          </button>
        ))}
      </div>
    );
  }
  const chosen = options.find((o) => o.key === now);
  return (
    <span class="chip pick">
      <label class="unseen" for={id}>
        {f.label}
      </label>
      {/* A list to choose from cuts a long name off; beneath it the name stands whole. */}
      <span aria-hidden="true">{chosen ? says(chosen).replace(/ \(.*\)$/, "") : (f.box ?? f.label)}</span>
      <select id={id} name={f.key} value={now} onChange={(e) => set(e.currentTarget.value)}>
        {!f.default && <option value="">{f.box ?? f.label}</option>}
        {options.map((o) => (
          <option key={o.key} value={o.key}>
            {o.label}
          </option>
        ))}
      </select>
    </span>
  );
}
