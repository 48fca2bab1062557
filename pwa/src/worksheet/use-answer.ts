import { useEffect, useState } from "preact/hooks";
import type { Bridge } from "../engine/bridge";
import type { Answer, Sheet, UnitSystem } from "../engine/contract.gen";
import { isRefused } from "../engine/reply";
import { words } from "../screen/context";

interface Worked {
  answer?: Answer;
  fault?: { field: string; message: string };
  /**
   * The fault has stood for half a second, so it is not just a number half typed: now it is shown.
   */
  settled: boolean;
  /** The worker failed. */
  broken: string;
  /** Labels of required inputs still blank; nothing is asked until there are none. */
  needs: string[];
  busy: boolean;
}

const none: Worked = { broken: "", needs: [], busy: false, settled: false };

/** The answer to what is typed, worked out anew at every change; only the newest counts. */
export function useAnswer(
  bridge: Bridge,
  sheet: Sheet,
  unit: UnitSystem,
  inputs: Readonly<Record<string, string>>,
): Worked {
  const [worked, set] = useState<Worked>({ ...none, busy: true });
  const key = JSON.stringify(inputs);
  useEffect(() => {
    const needs = sheet.inputs
      .filter((i) => i.required && !i.default && !(inputs[i.key] ?? "").trim())
      .map((i) => i.label);
    if (needs.length > 0) {
      set({ ...none, needs });
      return;
    }
    let live = true;
    let soon: ReturnType<typeof setTimeout> | undefined;
    set((w) => ({ ...w, busy: true }));
    bridge.run(sheet.name, unit, inputs, sheet.name).then(
      (reply) => {
        if (!live || !reply) return;
        if (!isRefused(reply)) return set({ ...none, answer: reply });
        const fault = reply.error;
        set((w) =>
          w.answer ? { ...none, answer: w.answer, fault } : { ...none, fault, settled: w.settled },
        );
        soon = setTimeout(() => set({ ...none, fault, settled: true }), 500);
      },
      (err: unknown) => live && set({ ...none, broken: words(err) }),
    );
    return () => {
      live = false;
      clearTimeout(soon);
    };
    // eslint-disable-next-line react-hooks/exhaustive-deps -- key stands for inputs
  }, [bridge, sheet, unit, key]);
  return worked;
}
