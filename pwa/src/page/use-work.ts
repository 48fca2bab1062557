import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import type { Bridge } from "../engine/bridge";
import type { Answer, FieldFault, Sheet, UnitSystem, Way } from "../engine/contract.gen";
import { isRefused } from "../engine/reply";
import { words } from "../screen/context";
import { keyOf, pairsOf, typed, typical, type Texts } from "./ways";

/** How long something half typed may stand before it is called wrong. */
const PATIENCE = 500;

export interface Work {
  answer?: Answer;
  /** What stands first: the answer's headline, or the next question. */
  headline: string;
  facts: string[];
  /** What was typed and cannot be read or taken. */
  fault?: FieldFault;
  /** The input that is asked for next. */
  wanted: string;
  /** The arithmetic failed. */
  broken: string;
  /** The answer is of before the last key. */
  stale: boolean;
}

const none: Work = { headline: "", facts: [], wanted: "", broken: "", stale: false };

/** The answer to what is typed, worked out anew at every change; only the newest counts. */
export function useWork(
  bridge: Bridge,
  sheet: Sheet | undefined,
  unit: UnitSystem,
  inputs: Readonly<Texts>,
): Work {
  const [work, set] = useState<Work>(none);
  const key = `${sheet?.name} ${unit} ${JSON.stringify(inputs)}`;
  // Asked before what was typed is painted: on a slow phone that takes as long as the answer's way.
  useLayoutEffect(() => {
    if (!sheet) return set(none);
    let live = true;
    let soon: ReturnType<typeof setTimeout> | undefined;
    bridge.run(sheet.name, unit, inputs, sheet.name).then(
      (reply) => {
        if (!live || !reply) return;
        if (!isRefused(reply))
          return set({
            ...none,
            answer: reply,
            headline: reply.headline,
            facts: reply.facts ?? [],
          });
        const { error, headline = sheet.question, facts = [], open } = reply;
        const wrong = !open && (error.field === "" || typed(inputs, error.field));
        const now: Work = { ...none, headline, facts, wanted: wrong ? "" : error.field };
        if (!wrong) return set(now);
        // It may be half typed: what stood there stays for a moment.
        set((w) => ({ ...w, stale: true }));
        soon = setTimeout(() => live && set({ ...now, fault: error }), PATIENCE);
      },
      (err: unknown) => live && set({ ...none, broken: words(err) }),
    );
    return () => {
      live = false;
      clearTimeout(soon);
    };
    // eslint-disable-next-line react-hooks/exhaustive-deps -- key stands for inputs
  }, [bridge, key]);
  return work;
}

/**
 * What is drawn: the answer; while there is none the worksheet's example with what is typed put into
 * it, and where that makes no answer either, the example alone.
 */
export function useShape(
  bridge: Bridge,
  sheet: Sheet,
  way: Way,
  unit: UnitSystem,
  inputs: Readonly<Texts>,
  answer: Answer | undefined,
): { shape?: Answer; faint: boolean } {
  const [typicalShape, set] = useState<{ of: string; shape: Answer }>();
  const whole = useRef<{ of: string; shape: Answer } | undefined>(undefined);
  const needed = !answer;
  const key = `${keyOf(way)} ${unit}`;
  const text = JSON.stringify(inputs);
  useEffect(() => {
    if (!needed) return;
    let live = true;
    const base = { ...typical(sheet, unit, way), ...Object.fromEntries(pairsOf(way.sets)) };
    const ask = async () => {
      const mixed = await bridge.run(sheet.name, unit, { ...base, ...inputs }, `shape ${sheet.name}`);
      if (!mixed || !live) return;
      if (!isRefused(mixed)) return set({ of: key, shape: mixed });
      if (whole.current?.of === key) return set(whole.current);
      const alone = await bridge.run(sheet.name, unit, base, `shape ${sheet.name}`);
      if (!alone || isRefused(alone) || !live) return;
      whole.current = { of: key, shape: alone };
      set(whole.current);
    };
    ask().catch(() => undefined); // the answer itself says that the arithmetic failed
    return () => {
      live = false;
    };
    // eslint-disable-next-line react-hooks/exhaustive-deps -- key and text stand for the rest
  }, [bridge, key, text, needed]);
  if (answer) return { shape: answer, faint: false };
  return typicalShape?.of === key ? { shape: typicalShape.shape, faint: true } : { faint: true };
}
