import { useEffect, useState } from "preact/hooks";
import type { UnitSystem } from "../../engine/contract.gen";
import { prefs, usePrefs } from "../../screen/prefs";
import { seen } from "../../screen/context";
import { W } from "../../text/words";
import { habitOf, lately, used } from "../habit";
import { layout, type Act, type Form, type Key, type Offers } from "./layout";
import {
  back,
  clear,
  doubleGuard,
  entry,
  fit,
  half,
  replace,
  series,
  sign,
  type,
  undo,
  unit,
  units,
  type Entry,
} from "./logic";
import { inOther } from "./other";
import { news, onNews } from "./status";

const pasts = new WeakMap<HTMLInputElement, { past: readonly string[]; text: string }>();
const guard = doubleGuard();
let touched = false;
/** The field that was come to and neither typed in nor touched again: its text is replaced by the first key. */
let untouched: HTMLInputElement | undefined;

const isPad = (el: EventTarget | null): el is HTMLInputElement =>
  el instanceof HTMLInputElement && el.dataset["pad"] !== undefined;

const coarse = (): boolean => matchMedia("(pointer: coarse)").matches;

/** Whether the app's own keypad is in use: the phone's keyboard is then suppressed. */
export function ownPad(): boolean {
  const choice = prefs().keypad;
  return choice === "always" || (choice === "touch" && (touched || coarse()));
}

function read(el: HTMLInputElement): Entry {
  const kept = pasts.get(el);
  const all = el === untouched;
  untouched = undefined;
  if (all) return entry(el.value, 0, el.value.length, kept?.past ?? []);
  const from = el.selectionStart ?? el.value.length;
  return entry(el.value, from, el.selectionEnd ?? from, kept?.past ?? []);
}

function write(el: HTMLInputElement, e: Entry): void {
  pasts.set(el, { past: e.past, text: e.text });
  if (el.value !== e.text) {
    el.value = e.text;
    el.dispatchEvent(new Event("input", { bubbles: true }));
  }
  el.setSelectionRange(e.from, e.to);
}

/** The units of a field, and the one that a bare number is in. */
const unitsOf = (el: HTMLElement): string[] => (el.dataset["units"] ?? "").split(",").filter(Boolean);
const system = (): UnitSystem => prefs().unit;
const bareOf = (el: HTMLElement): string =>
  el.dataset["bare"] ?? unitsOf(el)[system() === "mm" ? 1 : 0] ?? "";

/**
 * Where Next leads from a field: on a page that says what is measured after what, to the nearest
 * that still wants a value, from the beginning again; else to the one that follows in the form.
 * Nothing: the last one.
 */
function after(el: HTMLInputElement): HTMLInputElement | undefined {
  const scope = el.closest("form") ?? document;
  const all = [...scope.querySelectorAll<HTMLInputElement>("input[data-pad], input[data-next]")].filter(seen);
  const order = (one: HTMLElement): number => Number(one.dataset["next"]);
  if (el.dataset["next"] === undefined) {
    const mine = all.filter((one) => one.dataset["pad"] !== undefined && one.dataset["next"] === undefined);
    return mine[mine.indexOf(el) + 1];
  }
  const open = all
    .filter((one) => one === el || (one.dataset["open"] === "yes" && one.dataset["next"] !== undefined))
    .sort((a, b) => order(a) - order(b));
  const at = open.indexOf(el);
  return open[at + 1] ?? (at > 0 ? open[0] : undefined);
}

/** Goes on as Next does, as far as a list has not gone on to its next row by itself. */
function goOn(el: HTMLInputElement): void {
  // A field that takes each number as it is whole is submitted, and stays open for the next.
  if (el.dataset["take"] !== undefined) return el.form?.requestSubmit();
  if (!el.dispatchEvent(new CustomEvent("pad-next", { bubbles: true, cancelable: true }))) return;
  const next = after(el);
  if (!next) {
    el.blur();
    // Of a page the answer and its drawing are seen then.
    if (el.dataset["next"] !== undefined) glide(-scrollY);
    return;
  }
  if (ownPad() && isPad(next)) next.inputMode = "none";
  next.focus();
  next.select();
}

/** The reading before this one is put in again, where the page does not do it itself. */
function again(el: HTMLInputElement): void {
  if (!el.dispatchEvent(new CustomEvent("same-again", { bubbles: true, cancelable: true }))) return;
  const text = before(el);
  if (!text) return;
  write(el, replace(read(el), text));
  goOn(el);
}

/** The reading before a field's own. */
function before(el: HTMLInputElement): string {
  const scope = el.closest("form") ?? document;
  const all = [...scope.querySelectorAll<HTMLInputElement>(`input[data-pad="${el.dataset["pad"]}"]`)];
  return (
    all
      .slice(0, all.indexOf(el))
      .reverse()
      .find((one) => one.value.trim())?.value ?? ""
  );
}

/**
 * A box may be drawn anew at another place while it is typed in, as when its drawing comes: what is
 * typed goes on in the one that stands there now.
 */
function follow(old: HTMLInputElement): void {
  if (old.isConnected || document.activeElement !== document.body) return;
  const el = document.getElementById(old.id);
  if (!isPad(el)) return;
  const all = old === untouched;
  const kept = pasts.get(old);
  if (kept) pasts.set(el, kept);
  el.inputMode = "none";
  el.focus({ preventScroll: true });
  untouched = all && el.value ? el : undefined;
}

/** Moves the page at once where less motion is asked for, else within what an eye follows. */
let glides = 0;
/** A button of the mouse is down: what it is on stays under it until it comes up. */
let pressed = false;
function glide(by: number): void {
  if (pressed) return;
  const mine = ++glides;
  if (matchMedia("(prefers-reduced-motion: reduce)").matches)
    return scrollBy({ top: by, behavior: "instant" });
  const [from, begun] = [scrollY, performance.now()];
  const step = (now: number): void => {
    const part = Math.min(1, Math.max(0, (now - begun) / GLIDE));
    if (mine !== glides) return;
    scrollTo({ top: from + by * part * (2 - part), behavior: "instant" });
    if (part < 1) requestAnimationFrame(step);
  };
  requestAnimationFrame(step);
}
const GLIDE = 150;

const whole = (el: HTMLElement): HTMLElement => el.closest<HTMLElement>(".bx, .field") ?? el;

/**
 * Keeps a box in sight while the page grows about it, as when its drawing comes or the headline gets
 * a second line. A hand that moves the page away from it is left alone.
 */
let stood: { el: HTMLElement; at: number[] } | undefined;
function stay(el: HTMLElement): void {
  if (!el.closest(".bx")) return;
  const { top, height } = whole(el).getBoundingClientRect();
  const over = [".first", ".keypad"].map((s) => document.querySelector<HTMLElement>(s)?.offsetHeight ?? 0);
  const at = [top + scrollY, height, ...over];
  // Of a page that is being scrolled no place is sure to the pixel.
  if (stood?.el === el && at.every((n, i) => Math.abs(n - stood!.at[i]!) < 2)) return;
  stood = { el, at };
  keepInSight(el);
}

/**
 * Brings a field between what stays at the top and the keypad: one of a form to the middle, a box no
 * farther than it must go, so that as much of its drawing as can be stays in sight.
 */
function keepInSight(el: HTMLElement): void {
  requestAnimationFrame(() => {
    const pad = document.querySelector<HTMLElement>(".keypad");
    if (!pad) return;
    const box = el.closest(".bx");
    const { top, bottom } = whole(el).getBoundingClientRect();
    const beside = pad.offsetWidth < innerWidth;
    const low = (beside ? innerHeight : innerHeight - pad.offsetHeight) - 8;
    const tops = [...document.querySelectorAll(".top, .first")].map((e) => e.getBoundingClientRect().bottom);
    const high = Math.max(0, ...tops.filter((y) => y < low)) + (box ? 20 : 0); // its name stands over it
    if ((top >= high && bottom <= low) || low - high < 60) return;
    if (!box) glide(top - Math.max(high, low / 2 - 40));
    else glide(bottom > low ? Math.min(bottom - low, top - high) : top - high);
  });
}

function act(el: HTMLInputElement, a: Act, turn: (to: string) => void): void {
  const every = [...new Set([...unitsOf(el), "in", "mm", "thou"])];
  switch (a.do) {
    case "type":
      return write(el, type(read(el), a.text));
    case "offer":
      write(el, replace(read(el), a.text));
      return goOn(el);
    case "unit":
      return write(el, unit(read(el), a.name, every));
    case "units":
      return write(
        el,
        units(
          read(el),
          a.names.filter((name) => name !== bareOf(el)),
          every,
        ),
      );
    case "series":
      return write(el, series(read(el), a.name));
    case "fit":
      return write(el, fit(read(el), a.name));
    case "back":
      if (el === untouched) {
        untouched = undefined; // of what stands there the last character, not all
        el.setSelectionRange(el.value.length, el.value.length);
      }
      return write(el, back(read(el)));
    case "undo":
      // With nothing typed it is the reading taken last that is undone, where the page does so.
      if (!el.value && !el.dispatchEvent(new CustomEvent("take-back", { bubbles: true, cancelable: true })))
        return;
      return write(el, undo(read(el)));
    case "place":
      el.blur();
      return void el.dispatchEvent(new CustomEvent("other-place", { bubbles: true, cancelable: true }));
    case "clear":
      return write(el, clear(read(el)));
    case "sign":
      return write(el, sign(read(el)));
    case "half":
      return write(el, half(read(el), bareOf(el).endsWith("m")));
    case "page":
      return turn(a.to);
    case "close":
      return el.blur();
    case "same":
      return again(el);
    case "next":
      return goOn(el);
  }
}

const spoken = (key: Key): string | undefined => {
  switch (key.act.do) {
    case "type":
      return W.keypad.keys[key.act.text];
    case "back":
      return W.keypad.back;
    case "sign":
      return W.keypad.sign;
    case "half":
      return W.keypad.half;
    case "close":
      return W.keypad.close;
    default:
      return undefined;
  }
};

const unitNames = (text: string | undefined): Record<string, string> => {
  const [inch = "", mm = ""] = (text ?? "").split(",");
  return { in: inch, mm };
};

/** What a key says: one that would take the last reading again, or undo it, says which that is. */
function keySays(key: Key, el: HTMLInputElement): string {
  const last = el.dataset["again"];
  if (key.act.do === "next") return nextSays(el) || key.label;
  if (last && key.act.do === "same") return `${W.keypad.same} ${last}`;
  if (last && key.act.do === "undo" && !el.value) return `${key.label} ${last}`;
  return key.label;
}

/** What Next does from a field, in words. */
function nextSays(el: HTMLInputElement): string {
  const { take, next } = el.dataset;
  if (take) return take;
  if (next === undefined) return "";
  // The next place of a list is the list's own.
  if (el.closest("[data-cell]") && el.value.trim()) return W.keypad.nextPlace;
  const to = after(el);
  return W.keypad.next(to ? (to.dataset["nextname"] ?? to.dataset["label"] ?? "") : W.keypad.answer);
}

const offersOf = (el: HTMLInputElement): Offers => {
  const { words } = el.dataset;
  return {
    words: (words ?? "")
      .split(",")
      .filter(Boolean)
      .map((word) => {
        const [key = "", label = key] = word.split("=");
        return { key, label };
      }),
    sizes: lately(habitOf(el), system(), el.value),
    places: el.dataset["places"] === "yes",
  };
};

/** A size is a habit once its field was left with it and was not found wrong. */
let left: { el: HTMLInputElement; text: string } | undefined;
function settle(): void {
  if (left && left.el.getAttribute("aria-invalid") !== "true") used(habitOf(left.el), system(), left.text);
  left = undefined;
}

/** As many columns as the screen and the size of its text have room for. */
function formOf(glove: boolean): Form {
  const low = matchMedia("(max-height: 480px) and (orientation: landscape)").matches;
  if (glove) return low ? "low" : "three";
  if (low) return "side";
  const text = parseFloat(getComputedStyle(document.documentElement).fontSize);
  const wide = innerWidth < 700 ? innerWidth : 400;
  return (wide - 24) / 5 < 3.6 * text ? "three" : "five";
}

/** A touch is taken by the pointer that made it: no press follows, on the pad or what is then under it. */
const hold = (e: Event): void => e.preventDefault();
const held = (el: HTMLElement | null): void => el?.addEventListener("touchstart", hold, { passive: false });
/** Shows which key a finger is on: a held touch has no :active. */
function mark(on: EventTarget | null, down: boolean): void {
  const key = on instanceof Element ? on.closest(".key") : null;
  key?.toggleAttribute("data-down", down);
}

const isTouch = (e: Event): boolean => ["touch", "pen"].includes((e as PointerEvent).pointerType);
/** The key that the mouse came down on: its click is that press again. */
let struck = "";

/**
 * Stands at the foot or at the side of the screen while a number field has the focus and a finger,
 * not a keyboard, is typing.
 */
export function Keypad() {
  const { glove, hand, double } = usePrefs();
  const [target, setTarget] = useState<HTMLInputElement>();
  const [offers, setOffers] = useState<Offers>();
  const [text, setText] = useState("");
  const [at, turn] = useState("");
  const [, draw] = useState(0);
  const [, say] = useState("");
  const form = target && formOf(glove);

  useEffect(() => {
    const down = (e: PointerEvent) => {
      pressed = e.pointerType === "mouse";
      if (pressed) glides++;
      touched = !pressed;
      if (e.target === document.activeElement && e.target === untouched) untouched = undefined;
      if (!isPad(e.target)) return;
      e.target.inputMode = ownPad() ? "none" : "text";
      // It may have been closed for a gauge's sake.
      if (ownPad() && e.target === document.activeElement) open(e.target);
    };
    // The page moves as the pad goes: a button of the mouse comes up first, or its click would be of
    // whatever is under it by then.
    const release = () => {
      pressed = false;
      // Behind the click.
      setTimeout(() => !isPad(document.activeElement) && setTarget(undefined));
    };
    const close = () => {
      if (!pressed) setTarget(undefined);
    };
    let came = "";
    const open = (el: HTMLInputElement) => {
      setTarget(el);
      setOffers(offersOf(el));
      setText(el.value);
      turn("");
    };
    const focus = (e: FocusEvent) => {
      settle();
      if (!isPad(e.target)) return close();
      came = e.target.value;
      if (!ownPad()) return setTarget(undefined);
      e.target.inputMode = "none";
      untouched = e.target.value ? e.target : undefined;
      open(e.target);
    };
    const leave = (e: FocusEvent) => {
      if (!isPad(e.target)) return;
      if (e.target.value !== came && habitOf(e.target)) left = { el: e.target, text: e.target.value };
      if (!isPad(e.relatedTarget)) close();
    };
    // Before the field takes it.
    const comma = (e: Event) => {
      if (!prefs().comma || !isPad(e.target) || e.target.dataset["pad"] === "list") return;
      const { value, selectionStart } = e.target;
      if (!value.includes(",")) return;
      e.target.value = value.replaceAll(",", ".");
      e.target.setSelectionRange(selectionStart, selectionStart);
    };
    const input = (e: Event) => {
      if (!isPad(e.target)) return;
      const el = e.target;
      untouched = undefined;
      const kept = pasts.get(el);
      if (!kept) pasts.set(el, { past: [], text: el.value });
      else if (kept.text !== el.value)
        pasts.set(el, { past: [...kept.past, kept.text].slice(-50), text: el.value });
      setText(el.value);
    };
    const key = (e: KeyboardEvent) => {
      const el = e.target;
      if (!(el instanceof HTMLInputElement) || e.isComposing) return;
      // A gauge that types like a keyboard has no need of the pad, and its readings are to be seen.
      if (el.dataset["take"] !== undefined && e.key.length === 1) setTarget(undefined);
      if (e.defaultPrevented) return;
      if (el.dataset["pad"] === undefined && el.dataset["next"] === undefined) return;
      if (e.key === "Escape") return el.blur();
      // Gauges end each reading with Enter. The last field of a record's form submits it.
      if (e.key !== "Enter" || el.dataset["take"] !== undefined) return;
      if (el.dataset["next"] === undefined && !after(el) && el.form?.querySelector("[type=submit]")) return;
      e.preventDefault();
      goOn(el);
    };
    const sized = () => draw((n) => n + 1);
    document.addEventListener("pointerdown", down, true);
    for (const kind of RELEASES) addEventListener(kind, release);
    document.addEventListener("focusin", focus);
    document.addEventListener("focusout", leave);
    document.addEventListener("input", comma, true);
    document.addEventListener("input", input);
    document.addEventListener("keydown", key);
    addEventListener("pagehide", settle);
    addEventListener("resize", sized);
    // A new answer may move the form; the field being typed in stays where it can be seen.
    const off = onNews(() => {
      draw((n) => n + 1);
      if (isPad(document.activeElement)) keepInSight(document.activeElement);
    });
    return () => {
      document.removeEventListener("pointerdown", down, true);
      for (const kind of RELEASES) removeEventListener(kind, release);
      document.removeEventListener("focusin", focus);
      document.removeEventListener("focusout", leave);
      document.removeEventListener("input", comma, true);
      document.removeEventListener("input", input);
      document.removeEventListener("keydown", key);
      removeEventListener("pagehide", settle);
      removeEventListener("resize", sized);
      off();
    };
  }, []);

  useEffect(() => {
    const root = document.documentElement;
    if (!target || !form) return;
    root.dataset["padOpen"] = form;
    if (!pasts.has(target)) pasts.set(target, { past: [], text: target.value });
    stood = undefined;
    keepInSight(target);
    const settle = () => {
      const high = document.querySelector<HTMLElement>(".keypad")?.offsetHeight ?? 0;
      root.style.setProperty("--pad-high", `${high}px`);
      if (isPad(document.activeElement)) stay(document.activeElement);
    };
    settle();
    const moved = new MutationObserver(() => {
      follow(target);
      settle();
      // What is typed, what is next and what was last may have changed with the answer.
      const { again = "", label = "" } = target.dataset;
      say(`${nextSays(target)} ${again} ${label}`);
    });
    moved.observe(document.body, {
      childList: true,
      subtree: true,
      attributeFilter: ["data-open", "data-again", "data-label", "style"],
    });
    // Its drawing may find its size, and the keypad its rows, after they are there.
    const grown = new ResizeObserver(settle);
    for (const e of document.querySelectorAll("main, .first, .keypad")) grown.observe(e);
    return () => {
      moved.disconnect();
      grown.disconnect();
      delete root.dataset["padOpen"];
      root.style.removeProperty("--pad-high");
    };
  }, [target, form]);

  if (!target || !form) return null;
  const kind = target.dataset["pad"] || "number";
  const pages = layout(kind, unitNames(target.dataset["units"]), form, hand, offers);
  const shown = pages.find((p) => p.name === at) ?? pages[0]!;
  const hit = (key: Key) => {
    // With bare hands a second hit is meant.
    if (!guard(key.id, performance.now(), glove ? double : 0)) return;
    follow(target);
    // The field that Next led to a moment ago may not be drawn here yet.
    act(isPad(document.activeElement) ? document.activeElement : target, key.act, turn);
    draw((n) => n + 1);
    navigator.vibrate?.(8);
  };
  const button = (key: Key) => (
    <button
      key={key.id}
      type="button"
      tabIndex={-1}
      class={`key ${key.face ?? "mark"} wide-${key.wide ?? 1}${key.label.length > 6 ? " long" : ""}`}
      data-key={key.id}
      aria-label={spoken(key)}
      // At once, and each finger for itself: of two thumbs on two keys the browser presses only one, and
      // none where the key has moved before it is let go.
      onPointerDown={(e) => {
        if (e.button > 0) return;
        struck = isTouch(e) ? "" : key.id;
        hit(key);
      }}
      onClick={(e) => {
        if (!isTouch(e) && struck !== key.id) hit(key);
        struck = "";
      }}
    >
      {keySays(key, target)}
    </button>
  );
  return (
    <div
      class={`keypad ${glove ? "glove" : "bare"} pad-${form}`}
      role="region"
      aria-label={W.keypad.label}
      ref={held}
      onPointerDown={(e) => {
        hold(e);
        mark(e.target, true);
      }}
      onPointerUp={(e) => mark(e.target, false)}
      onPointerCancel={(e) => mark(e.target, false)}
      onMouseDown={hold}
    >
      <div class="pad-head">
        <Shown of={target} text={text} />
        {[...shown.head, ...(glove ? [] : [CLOSE])].map(button)}
      </div>
      {shown.strip.length > 0 && <div class="pad-strip">{shown.strip.map(button)}</div>}
      <div class={`pad-keys of-${shown.columns}`}>{shown.rows.flat().map(button)}</div>
    </div>
  );
}

const RELEASES = ["pointerup", "pointercancel", "blur"] as const;
const CLOSE: Key = { id: "close", label: W.keypad.closeShort, act: { do: "close" }, face: "tool" };
/** Name of the box, what is typed, the same in the other unit, and what is wrong with it. */
function Shown({ of, text }: { of: HTMLInputElement; text: string }) {
  const { fault, answer } = news();
  const bare = bareOf(of);
  const length = ["length", "reading"].includes(of.dataset["pad"] ?? "");
  const other = length && !fault ? inOther(text, bare) : "";
  const unsaid = /[\d./]$/.test(text) && bare ? ` ${bare}` : "";
  return (
    <div class="pad-show">
      {fault ? <div class="pad-fault">{fault}</div> : answer && <div class="pad-answer">{answer}</div>}
      <div class="pad-label">{[of.dataset["label"], of.dataset["from"]].filter(Boolean).join(" · ")}</div>
      <div class={`pad-text num ${fault ? "wrong" : ""}${text.length > 12 ? " long" : ""}`}>
        {text ? (
          <>
            <span class={of === untouched ? "replaced" : ""}>{text}</span>
            <small class="quiet">{`${unsaid}${other && ` = ${other}`}`}</small>
          </>
        ) : (
          <small class="quiet">{bare}</small>
        )}
      </div>
    </div>
  );
}
