import { useEffect, useRef, useState } from "preact/hooks";
import { loadDraft, saveDraft } from "../form/drafts";
import { tellKeypad } from "../form/keypad/status";
import { useUnsaved } from "../screen/context";
import { usePrefs } from "../screen/prefs";
import { askToKeep } from "../storage/persist";
import { B } from "../text/jobbook";
import { M } from "../text/mill";
import { isReading } from "./readlogic";
import { hush } from "./speak";
import { useLit } from "./use";
import { useWedge, type Page } from "./wedge";

type Texts = Record<string, string>;

/**
 * A reading being entered: the text survives a reload, and a gauge that types like a keyboard can
 * enter it.
 */
export function useReading(draft: string) {
  const [was] = useState(() => loadDraft(draft));
  const [typed, setTyped] = useState(was?.inputs["value"] ?? "");
  const [fault, setFault] = useState("");
  const [stored, setStored] = useState(true);
  const more = useRef<Texts>(was?.more ?? {});
  const field = useRef<HTMLInputElement>(null);
  useLit(true);
  const page = useRef<Page>({ take: () => undefined, fault: setFault });
  const submit = useWedge(field, page);
  useEffect(() => hush, []);
  useUnsaved(draft, !stored && typed !== "");
  const remember = (also: Texts, value = typed) => {
    more.current = { ...more.current, ...also };
    setStored(saveDraft(draft, { inputs: value ? { value } : {}, more: more.current }));
  };
  return {
    typed,
    fault,
    setFault,
    field,
    /** Says how the page takes a reading that a gauge sends. */
    takes: (take: Page["take"]) => void (page.current.take = take),
    submit,
    /** The other choices, as they were left. */
    was: more.current,
    remember,
    put: (value: string) => {
      setTyped(value);
      setFault("");
      remember({}, value);
    },
    /** The text of a number; "" where there is none, and the field says so. */
    number: (value = field.current?.value ?? typed): string => {
      const wrong = !value.trim() ? B.read.needs : isReading(value) ? "" : B.read.number;
      if (wrong) setFault(wrong);
      return wrong ? "" : value;
    },
    /** Stored: the field is cleared as by a key, so that the keypad's Undo restores the number. */
    taken: (also: Texts = {}) => {
      const el = field.current;
      if (el) el.value = "";
      el?.dispatchEvent(new Event("input", { bubbles: true }));
      remember(also, "");
      navigator.vibrate?.(15);
      void askToKeep();
    },
  };
}

/** What stands above the keypad's keys while a page is open. */
export function useTold(fault: string, answer: string): void {
  useEffect(() => {
    tellKeypad({ fault, answer });
    return () => tellKeypad({ fault: "" });
  }, [fault, answer]);
}

/** What the keypad asks of the page that its reading is taken on. */
export function usePadKeys(
  of: Reading,
  on: { same?: () => void; back?: () => void; place?: () => void },
): void {
  useEffect(() => {
    const el = of.field.current;
    const keys = { "same-again": on.same, "take-back": on.back, "other-place": on.place };
    const hear = (e: Event) => {
      e.preventDefault();
      keys[e.type as keyof typeof keys]?.();
    };
    const mine = Object.entries(keys).flatMap(([name, act]) => (act ? [name] : []));
    for (const name of mine) el?.addEventListener(name, hear);
    return () => {
      for (const name of mine) el?.removeEventListener(name, hear);
    };
  });
}

export type Reading = ReturnType<typeof useReading>;

/** A place as its box shows it. */
export interface Spot {
  key: string;
  name: string;
  value: string;
}

/**
 * The places as boxes in a row, name over value; the field stands at the one that is read next. Of
 * more than six the row scrolls, and first and last stay.
 */
export function Boxes({
  of,
  spots,
  now,
  pick,
  label,
  means,
  again,
  more,
}: {
  of: Reading;
  spots: readonly Spot[];
  now: string;
  pick: (key: string) => void;
  label: string;
  means: "thou" | "in" | "mm";
  /** The reading before, which "same" would take and "undo" would take back. */
  again: string;
  /** Another place may be read. */
  more?: (() => void) | undefined;
}) {
  const { unit } = usePrefs();
  const bare = means !== "thou" ? means : unit === "mm" ? "um" : "thou";
  const row = useRef<HTMLDivElement>(null);
  const at = Math.max(
    0,
    spots.findIndex((s) => s.key === now),
  );
  // Of a row that scrolls the box that is typed into is in sight.
  useEffect(() => {
    const el = row.current;
    const box = el?.children[at] as HTMLElement | undefined;
    if (el && box && el.scrollWidth > el.clientWidth)
      el.scrollLeft = box.offsetLeft - (el.clientWidth - box.offsetWidth) / 2;
  }, [at, spots.length]);
  return (
    <div
      ref={row}
      class={spots.length > 6 ? "spots many" : "spots"}
      role="group"
      aria-label={M.boxes}
      style={{ "--n": String(spots.length) }}
    >
      {spots.map((s, i) => {
        const end = i === 0 || i === spots.length - 1 ? " end" : "";
        const looks = {
          class: `spot-key${s.value ? "" : " open"}${i === at ? " now" : ""}${end}`,
          style: { gridColumn: String(i + 1) },
        };
        const inside = (
          <>
            <small>{s.name}</small> <b class={s.value.length > 5 ? "num slim" : "num"}>{s.value}</b>
          </>
        );
        // Over the one that is next lies the field.
        return i === at ? (
          <div key={s.key} {...looks}>
            {inside}
          </div>
        ) : (
          <button
            key={s.key}
            type="button"
            {...looks}
            onClick={() => {
              pick(s.key);
              of.field.current?.focus();
            }}
          >
            {inside}
          </button>
        );
      })}
      <div class={of.fault ? "bx spot-field wrong" : "bx spot-field"} style={{ gridColumn: String(at + 1) }}>
        <input
          ref={of.field}
          id="reading"
          type="text"
          class="num"
          value={of.typed}
          placeholder={spots[at]?.value}
          onInput={(e) => of.put(e.currentTarget.value)}
          autocomplete="off"
          autocapitalize="off"
          spellcheck={false}
          maxLength={40}
          enterkeyhint="send"
          data-pad="reading"
          data-places={more ? "yes" : undefined}
          data-take={B.read.take}
          data-again={again || undefined}
          data-label={label}
          data-units={unit === "mm" ? "um,mm" : "thou,mm"}
          data-bare={bare}
          aria-label={label}
          aria-invalid={of.fault ? "true" : undefined}
        />
      </div>
    </div>
  );
}
