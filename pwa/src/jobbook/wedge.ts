// A gauge or a scanner that types like a keyboard: a number, and Enter or Tab after it.
import { useEffect, useRef } from "preact/hooks";
import { B } from "../text/jobbook";

/** No finger hits one key this soon after another, in milliseconds. */
const QUICK = 60;

/** Keys as they come, and whether a machine sent them. */
export class Burst {
  text = "";
  /** Nobody types so fast. */
  quick = true;
  private at = -Infinity;

  /** Takes a character. */
  press(key: string, at: number): void {
    if (this.text && at - this.at > QUICK) this.quick = false;
    this.text += key;
    this.at = at;
  }

  /** Whether what ends it came as fast. */
  endsQuick(at: number): boolean {
    return this.quick && this.text.length > 1 && at - this.at <= QUICK;
  }

  /** Whether a character that comes now belongs to those before it. */
  goesOn(at: number): boolean {
    return this.text !== "" && at - this.at <= QUICK;
  }

  clear(): void {
    this.text = "";
    this.quick = true;
  }
}

/**
 * What a machine sent as it would be typed, or what is wrong with it. A bare number is what the page
 * says; but nothing reads a tenth of a thou finer, nor a hundredth of a micrometre: then it is whole
 * inches or millimetres, where that is not in doubt.
 */
export function sent(text: string, bare: string): { typed: string } | { fault: string } {
  let t = text.trim().replace(/^[\u2212\u2013]/, "-");
  if (/^[^.,]*,[^.,]*$/.test(t)) t = t.replace(",", ".");
  const m = /^([-+]?)\s*(\d+\.?|\d*\.(\d+))\s*(in|"|mm|um|\u00b5m|thou)?$/i.exec(t);
  const [, sign = "", number = "", decimals = "", unit] = m ?? [];
  // Without a point so many figures are a number of something.
  if (!m || (!unit && /\d{7}/.test(t) && !decimals)) return { fault: B.read.scanned(text.trim()) };
  t = sign + number;
  if (unit) return { typed: `${t} ${unit.toLowerCase()}` };
  if (!Number(number)) return { typed: t };
  if (bare === "um" && decimals.length > 1) return { typed: `${t} mm` };
  if (bare === "thou" && decimals.length > 3) return { typed: `${t} in` };
  return bare === "thou" && decimals.length > 2 ? { fault: B.read.finer(text.trim()) } : { typed: t };
}

const begins = /^[-+.,\d\u2212]/;

const typedInto = (on: Element | null): boolean =>
  on instanceof HTMLTextAreaElement ||
  (on instanceof HTMLInputElement && !["checkbox", "radio", "button", "file"].includes(on.type));

export interface Page {
  /** Takes what stands in the field as a reading. */
  take: (typed: string | undefined) => unknown;
  fault: (text: string) => void;
}

/**
 * Readings by machine: wherever the page has a field for them, they go there one after the other,
 * whether it has the focus or nothing has, and no keypad opens for them. Gives what takes one by hand:
 * the text given, or what stands in the field; nothing while one is being taken.
 */
export function useWedge(
  field: { current: HTMLInputElement | null },
  page: { current: Page },
): (text?: string) => void {
  const line = useRef({ end: Promise.resolve(), waiting: 0 });
  useEffect(() => {
    const burst = new Burst();
    const going = line.current;
    /** The keys so far were kept from the page: nothing had the focus, or a reading was being taken. */
    let held = false;
    /** What a machine sent and the page did not take: the next key replaces it. */
    let left = "";
    const show = (text: string) => {
      const el = field.current;
      if (!el) return;
      el.value = text;
      el.dispatchEvent(new Event("input", { bubbles: true }));
    };
    const deliver = (text: string) =>
      inLine(going, async () => {
        show(text);
        await page.current.take(text);
      }).then(() => (left = field.current?.value === text ? text : ""));
    /** What came by machine whole; anything typed by hand is the page's own to judge. */
    const take = (quick: boolean): void => {
      const { text } = burst;
      burst.clear();
      const said = quick ? sent(text, field.current?.dataset["bare"] ?? "") : { typed: text };
      if ("typed" in said) return void deliver(said.typed);
      if (field.current?.value === text) show("");
      page.current.fault(said.fault);
    };
    const key = (e: KeyboardEvent) => {
      const el = field.current;
      if (!el || e.ctrlKey || e.metaKey || e.altKey || e.isComposing) return;
      const on = document.activeElement;
      const mine = on === el;
      if (!mine && (typedInto(on) || on?.closest("dialog"))) return;
      const at = e.timeStamp;
      if (e.key === "Enter" || (e.key === "Tab" && !e.shiftKey)) {
        const quick = burst.endsQuick(at);
        const number = begins.test(burst.text);
        // Of what the field itself has taken only what is a machine's alone.
        const whole = held ? number || (quick && burst.text.length > 2) : quick && burst.text === el.value;
        if (!whole) return burst.clear();
        e.preventDefault();
        return take(quick);
      }
      if (e.key === "Backspace" && held && burst.text) {
        e.preventDefault();
        burst.text = burst.text.slice(0, -1);
        return show(burst.text);
      }
      if (e.key.length !== 1) return;
      if (!burst.text) held = !mine || going.waiting > 0;
      if (!held) {
        if (el.value === left && left) el.select();
        if (
          !burst.goesOn(at) &&
          (el.value === "" || el.selectionEnd! - el.selectionStart! === el.value.length)
        )
          burst.clear();
        left = "";
        return burst.press(e.key, at);
      }
      const number = begins.test(burst.text || e.key);
      if (!number && !burst.goesOn(at)) burst.clear();
      burst.press(e.key, at);
      // A letter by hand has its own meaning on a desk.
      if (number || burst.text.length > 1) e.preventDefault();
      if (number && going.waiting === 0) show(burst.text);
    };
    // What is put in by touch begins anew.
    const touched = () => burst.clear();
    document.addEventListener("keydown", key, true);
    document.addEventListener("pointerdown", touched, true);
    return () => {
      document.removeEventListener("keydown", key, true);
      document.removeEventListener("pointerdown", touched, true);
    };
  }, [field, page]);
  return (text) => {
    if (line.current.waiting === 0)
      void inLine(line.current, async () => void (await page.current.take(text)));
  };
}

interface Line {
  end: Promise<void>;
  /** Readings that are being taken. */
  waiting: number;
}

/** One after the other, each when the page shows the place that is next. */
function inLine(line: Line, take: () => Promise<void>): Promise<void> {
  line.waiting++;
  line.end = line.end
    .then(take)
    .catch((err: unknown) => console.error(err)) // the page says what it could not store
    .then(() => new Promise<void>((drawn) => setTimeout(drawn)))
    .finally(() => line.waiting--);
  return line.end;
}
