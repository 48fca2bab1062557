import { useEffect, useState } from "preact/hooks";
import type { Bridge } from "../calc/bridge";
import { isFault, type Answer, type Sheet, type UnitSystem } from "../calc/types";
import { words } from "../ui/app";

export interface Worked {
  answer?: Answer;
  fault?: { field: string; message: string };
  /** The arithmetic itself failed. */
  broken: string;
  /** Labels of required inputs still blank; nothing is asked until there are none. */
  needs: string[];
  busy: boolean;
}

/** The answer to what is typed, worked out anew at every change; only the newest counts. */
export function useAnswer(
  bridge: Bridge,
  sheet: Sheet,
  unit: UnitSystem,
  inputs: Readonly<Record<string, string>>,
  lane = sheet.name,
): Worked {
  const [worked, set] = useState<Worked>({ broken: "", needs: [], busy: true });
  const key = JSON.stringify(inputs);
  useEffect(() => {
    const needs = sheet.inputs
      .filter((i) => i.required && !i.default && !(inputs[i.key] ?? "").trim())
      .map((i) => i.label);
    if (needs.length > 0) {
      set({ broken: "", needs, busy: false });
      return;
    }
    let live = true;
    set((w) => ({ ...w, busy: true }));
    bridge.run(sheet.name, unit, inputs, lane).then(
      (reply) => {
        if (!live || !reply) return;
        set(
          isFault(reply)
            ? { fault: reply.error, broken: "", needs: [], busy: false }
            : { answer: reply, broken: "", needs: [], busy: false },
        );
      },
      (err: unknown) => live && set({ broken: words(err), needs: [], busy: false }),
    );
    return () => {
      live = false;
    };
  }, [bridge, sheet, unit, key, lane]);
  return worked;
}
