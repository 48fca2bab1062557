import type { ComponentChildren } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { loadDraft, saveDraft } from "../form/drafts";
import { tellKeypad } from "../form/keypad/status";
import { useUnsaved } from "../screen/context";
import { usePrefs } from "../screen/prefs";
import { askToKeep } from "../storage/persist";
import { TextField } from "../ui/controls";
import { B } from "../text/jobbook";
import { isReading } from "./readlogic";
import { useLit } from "./use";
import { useWedge } from "./wedge";

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
  useWedge(field);
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

export function ReadingField({
  of,
  label,
  means,
  under,
}: {
  of: ReturnType<typeof useReading>;
  label: string;
  means: "thou" | "in" | "mm";
  under?: ComponentChildren;
}) {
  const { unit } = usePrefs();
  return (
    <TextField
      id="reading"
      field={of.field}
      class="num"
      label={label}
      unit={means !== "thou" ? means : unit === "mm" ? "um" : "thou"}
      value={of.typed}
      set={of.put}
      fault={of.fault}
      under={under}
      autocomplete="off"
      autocapitalize="off"
      spellcheck={false}
      maxLength={40}
      enterkeyhint="send"
      data-pad="reading"
      data-take={B.read.take}
      data-label={label}
      data-units={unit === "mm" ? "um,mm" : "thou,mm"}
      data-bare={means !== "thou" ? means : unit === "mm" ? "um" : "thou"}
      aria-invalid={of.fault ? "true" : undefined}
      aria-describedby={of.fault ? "reading-fault" : undefined}
    />
  );
}
