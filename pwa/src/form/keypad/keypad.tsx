import { useEffect, useState } from "preact/hooks";
import { prefs, usePrefs } from "../../screen/prefs";
import { seen } from "../../screen/context";
import { Sign } from "../../ui/parts";
import { W } from "../../text/words";
import { layout, type Act, type Key } from "./layout";
import { back, clear, doubleGuard, entry, fit, series, sign, type, undo, unit, type Entry } from "./logic";
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

/**
 * Every field of the same form that the keypad serves and that can be seen, in the order of the
 * page.
 */
function fields(el: HTMLElement): HTMLInputElement[] {
  const scope = el.closest("form") ?? document;
  return [...scope.querySelectorAll<HTMLInputElement>("input[data-pad]")].filter(seen);
}

/** Scrolls so that a field stands between the page's head and the keypad. */
function keepInSight(el: HTMLElement): void {
  requestAnimationFrame(() => {
    const pad = document.querySelector<HTMLElement>(".keypad");
    if (!pad) return;
    const { top, bottom } = (el.closest(".field") ?? el).getBoundingClientRect();
    const low = pad.getBoundingClientRect().left > 0 ? innerHeight : innerHeight - pad.offsetHeight;
    const high = document.querySelector(".top")?.getBoundingClientRect().bottom ?? 0;
    if (top >= high && bottom <= low - 8) return;
    scrollBy({ top: top - Math.max(high, low / 2 - 40), behavior: "instant" });
  });
}

function act(el: HTMLInputElement, a: Act, turn: (to: number) => void): void {
  const units = (el.dataset["units"] ?? "").split(",").filter(Boolean);
  switch (a.do) {
    case "type":
      return write(el, type(read(el), a.text));
    case "unit":
      return write(el, unit(read(el), a.name, [...new Set([...units, "in", "mm", "thou"])]));
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
      return write(el, undo(read(el)));
    case "clear":
      return write(el, clear(read(el)));
    case "sign":
      return write(el, sign(read(el)));
    case "page":
      return turn(a.to);
    case "close":
      return el.blur();
    case "same":
      return void el.dispatchEvent(new Event("same-again"));
    case "next": {
      // In a field that takes each number as it is whole, this submits it, and the field stays open
      // for the next.
      if (el.dataset["take"] !== undefined) return el.form?.requestSubmit();
      const all = fields(el);
      const next = all[all.indexOf(el) + 1];
      if (!next) return el.blur();
      next.inputMode = "none";
      next.focus();
      next.select();
    }
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
    case "next":
      return W.keypad.nextSpoken;
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

/**
 * Stands at the foot of the screen while a number field has the focus and a finger, not a keyboard,
 * is typing.
 */
export function Keypad() {
  const { glove, hand, double } = usePrefs();
  const [target, setTarget] = useState<HTMLInputElement>();
  const [text, setText] = useState("");
  const [pageAt, turn] = useState(0);
  const [, draw] = useState(0);

  useEffect(() => {
    const down = (e: PointerEvent) => {
      touched = e.pointerType !== "mouse";
      if (e.target === document.activeElement && e.target === untouched) untouched = undefined;
      if (isPad(e.target)) e.target.inputMode = ownPad() ? "none" : "text";
    };
    const focus = (e: FocusEvent) => {
      if (!isPad(e.target) || !ownPad()) return setTarget(undefined);
      e.target.inputMode = "none";
      untouched = e.target.value ? e.target : undefined;
      setTarget(e.target);
      setText(e.target.value);
      turn(0);
    };
    const leave = (e: FocusEvent) => {
      if (isPad(e.target) && !isPad(e.relatedTarget)) setTarget(undefined);
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
      if (e.key === "Escape" && isPad(document.activeElement)) document.activeElement.blur();
    };
    document.addEventListener("pointerdown", down, true);
    document.addEventListener("focusin", focus);
    document.addEventListener("focusout", leave);
    document.addEventListener("input", input);
    document.addEventListener("keydown", key);
    // A new answer may move the form; the field being typed in stays where it can be seen.
    const off = onNews(() => {
      draw((n) => n + 1);
      if (isPad(document.activeElement) && !prefs().glove) keepInSight(document.activeElement);
    });
    return () => {
      document.removeEventListener("pointerdown", down, true);
      document.removeEventListener("focusin", focus);
      document.removeEventListener("focusout", leave);
      document.removeEventListener("input", input);
      document.removeEventListener("keydown", key);
      off();
    };
  }, []);

  useEffect(() => {
    const root = document.documentElement;
    if (target) {
      root.dataset["padOpen"] = "yes";
      if (!pasts.has(target)) pasts.set(target, { past: [], text: target.value });
      if (!glove) keepInSight(target);
    } else {
      delete root.dataset["padOpen"];
    }
    return () => void delete root.dataset["padOpen"];
  }, [target, glove]);

  if (!target) return null;
  const kind = target.dataset["pad"] || "number";
  const pages = layout(kind, unitNames(target.dataset["units"]), glove ? "glove" : "bare", hand);
  const at = pages[pageAt] ? pageAt : 0;
  const shown = pages[at]!;
  const following = pages[(at + 1) % pages.length]!;
  const told = news();
  const hit = (key: Key) => {
    // With bare hands a second hit is meant.
    if (!guard(key.id, performance.now(), glove ? double : 0)) return;
    // The field that Next led to a moment ago may not be drawn here yet.
    act(isPad(document.activeElement) ? document.activeElement : target, key.act, turn);
    draw((n) => n + 1);
    navigator.vibrate?.(8);
  };
  const stay = (e: Event) => e.preventDefault();
  return (
    <div
      class={`keypad ${glove ? "glove" : "bare"}`}
      role="region"
      aria-label={W.keypad.label}
      onPointerDown={stay}
      onMouseDown={stay}
    >
      <div class="pad-head">
        <div class="pad-show">
          <div class="pad-label">{target.dataset["label"]}</div>
          <div class={`pad-text num ${told.fault ? "wrong" : ""}`}>
            {text ? (
              <span class={target === untouched ? "replaced" : ""}>{text}</span>
            ) : (
              <span class="quiet">{W.keypad.empty}</span>
            )}
          </div>
          <div class="pad-told">
            {told.fault ? (
              <span class="pad-fault">{told.fault}</span>
            ) : told.answer ? (
              <>
                {told.level !== "none" && <Sign level={told.level} size={18} />} <span>{told.answer}</span>
              </>
            ) : null}
          </div>
        </div>
        {glove && pages.length > 1 ? (
          <button type="button" tabIndex={-1} class="key tool" onClick={() => turn((at + 1) % pages.length)}>
            {following.name}
          </button>
        ) : (
          <button
            type="button"
            tabIndex={-1}
            class="key tool"
            aria-label={W.keypad.close}
            onClick={() => act(target, { do: "close" }, turn)}
          >
            {W.keypad.closeShort}
          </button>
        )}
      </div>
      <div class={`pad-keys of-${shown.columns}`}>
        {shown.rows.flat().map((key) => (
          <button
            key={key.id}
            type="button"
            tabIndex={-1}
            class={`key ${key.face ?? "mark"} wide-${key.wide ?? 1}`}
            data-key={key.id}
            aria-label={key.act.do === "next" && target.dataset["take"] ? undefined : spoken(key)}
            onClick={() => hit(key)}
          >
            {(key.act.do === "next" && target.dataset["take"]) || key.label}
          </button>
        ))}
      </div>
    </div>
  );
}
