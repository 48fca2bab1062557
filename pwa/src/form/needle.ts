/**
 * What an indicator shows, as it is typed: a bare number in a box is thou, or hundredths of a
 * millimetre, while the text behind it says its unit, so that what is kept, sent and scripted means
 * the same everywhere. Pure but for the hook.
 */
import { useRef } from "preact/hooks";
import type { Field, UnitSystem } from "../engine/contract.gen";
import { inOther } from "./keypad/other";
import { COMMA } from "./rowtext";
import { clean, pinNumber } from "./pin";

/** What a bare number means in such a box. */
export const bareNeedle = (unit: UnitSystem): string => (unit === "mm" ? "0.01 mm" : "thou");

const PLAIN = /^([-+]?)\s*(\d*)(?:\.(\d*))?$/;

/** A decimal with its point moved: "2.5" by -2 is "0.025". */
export function shifted(text: string, by: number): string | undefined {
  const m = PLAIN.exec(text.trim());
  if (!m || !(m[2] || m[3])) return undefined;
  const [, sign = "", whole = "", part = ""] = m;
  const digits = whole + part;
  const point = whole.length + by;
  const all = digits.padStart(digits.length + Math.max(0, 1 - point), "0");
  const at = Math.max(1, point);
  const full = all.padEnd(at, "0");
  const head = full.slice(0, at).replace(/^0+(?=\d)/, "");
  const tail = full.slice(at).replace(/0+$/, "");
  return sign + head + (tail && `.${tail}`);
}

/** The text of what is typed; what says its unit, or is not whole yet, stays as it is. */
export function needleText(typed: string, unit: UnitSystem): string {
  const text = typed.includes(",") || typed.includes(COMMA) ? clean(typed) : typed.trim();
  if (unit === "mm") {
    const mm = shifted(text, -2);
    return mm === undefined ? typed : `${mm} mm`;
  }
  return /\d\.?$/.test(text) && /^[-+]?[\d\s./-]+$/.test(text) ? `${text} thou` : typed;
}

/** Places that the point moves by from a unit to what a bare number means: a kept bare number is in inches or mm. */
const MOVED: Record<UnitSystem, Record<string, number>> = {
  in: { thou: 0, in: 3, "": 3 },
  mm: { mm: 2, um: -1, "": 2 },
};

/** How a text stands in its box: without the unit that a bare number has there. */
export function needleShown(text: string, unit: UnitSystem): string {
  const m = /^([-+]?[\d\s./-]*\d\.?)\s*(thou|in|mm|um)?$/.exec(text.trim());
  if (!m) return text;
  const [, number = "", of = ""] = m;
  const by = MOVED[unit][of];
  if (by === 0) return number;
  const shown = by === undefined ? undefined : shifted(number, by);
  if (shown !== undefined) return shown.replace(/^([-+]?)0\.(?=\d)/, unit === "in" ? "$1." : "$10.");
  return of ? text : `${text.trim()} ${unit}`;
}

/** A usual value, which the description gives in inches: "0.0005 in" is .5. */
export function needleUsual(text: string, unit: UnitSystem): string {
  const m = /^([\d.]+) in$/.exec(text);
  if (!m) return text;
  if (unit === "mm") return String(Math.round(Number(m[1]) * 2540 * 100) / 100);
  return (shifted(m[1]!, 3) ?? text).replace(/^0\./, ".");
}

/**
 * A usual value or an example, which the description gives in inches, as it would be typed in a box of
 * this unit: the unit itself stands beside it.
 */
export function inOwn(f: Field, text: string, unit: UnitSystem): string {
  const own = f.units?.[unit];
  if (f.needle) {
    const usual = needleUsual(pinNumber(text, "in"), unit);
    return /[a-z]$/.test(usual) ? needleShown(usual, unit) : usual;
  }
  if (!own) return text;
  const mm = own === "mm" && / (in|thou)$/.test(text) ? inOther(text, "in").replace(/ mm$/, "") : "";
  if (mm && (Number(mm) >= 0.1 || /^0 /.test(text))) return mm.replace(/\.?0+$/, "");
  return text.endsWith(` ${own}`) ? text.slice(0, -own.length - 1) : text;
}

interface Entry {
  value: string;
  set: (text: string) => void;
  /** What a bare number means, where it is not the field's own unit. */
  bare?: string;
}

/**
 * What stands in a field's box, and what is made of it: that of an indicator speaks thou. What is
 * typed stands there as it was typed, "1.50" or "2.", as long as it is the text.
 */
export function useNeedle(f: Field, unit: UnitSystem, value: string, set: (text: string) => void): Entry {
  const typed = useRef({ text: "", as: "" });
  if (!f.needle) return { value, set };
  return {
    value: value !== "" && typed.current.text === value ? typed.current.as : needleShown(value, unit),
    set: (as) => {
      const text = needleText(as, unit);
      typed.current = { text, as };
      set(text);
    },
    bare: bareNeedle(unit),
  };
}
