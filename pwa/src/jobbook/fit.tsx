import { useEffect, useState } from "preact/hooks";
import { text, type Rec } from "../records/fields";
import type { Answer, Sheet } from "../engine/contract.gen";
import { isRefused } from "../engine/reply";
import { drawings } from "../drawing/registry";
import { useApp, words } from "../screen/context";
import { usePrefs } from "../screen/prefs";
import { B } from "../text/jobbook";
import { AnswerHead, inALine, levelOf } from "../worksheet/answer";
import { lineText, type Place } from "./readlogic";

export interface Line {
  answer?: Answer | undefined;
  fault: string;
  /** The worksheet's text; "" while there is too little for a line. */
  text: string;
  /** The answer in a few words. */
  line: string;
  level: "good" | "refuse" | "caution" | "note" | "none";
}

/** The line through the last reading of each place, worked out anew after every reading. */
export function useLine(setup: Rec, readings: readonly Rec[], at: readonly Place[]): Line {
  const { bridge, describe } = useApp();
  const { unit } = usePrefs();
  const sheet = describe?.worksheets.find((s) => s.name === "tram");
  const table = lineText(readings, at, unit);
  const enough = new Set(table.split("; ").map((row) => row.split(",")[0])).size > 1;
  const allow = text(setup, "wanted");
  const [state, set] = useState<{ answer?: Answer; fault: string }>({ fault: "" });
  useEffect(() => {
    if (!sheet || !enough) return set({ fault: "" });
    let live = true;
    bridge.run("tram", unit, { readings: table, ...(allow && { allow }) }, `line ${setup.id}`).then(
      (reply) => {
        if (!live || !reply) return;
        set(isRefused(reply) ? { fault: reply.error.message } : { answer: reply, fault: "" });
      },
      (err: unknown) => live && set({ fault: words(err) }),
    );
    return () => {
      live = false;
    };
  }, [bridge, sheet, table, enough, allow, unit, setup.id]);
  const answer = enough ? state.answer : undefined;
  return {
    answer,
    fault: enough ? state.fault : "",
    text: enough ? table : "",
    line: answer && sheet ? inALine(sheet, answer) : "",
    level: answer ? levelOf(answer) : "none",
  };
}

export function Fit({ worked, sheet }: { setup: Rec; worked: Line; sheet: Sheet | undefined }) {
  const Drawing = drawings[sheet?.drawing ?? ""];
  return (
    <section class="card fit" aria-label={B.read.fit} aria-live="polite">
      <h2>{B.read.fit}</h2>
      {worked.answer && sheet ? (
        <>
          <AnswerHead sheet={sheet} answer={worked.answer} />
          {Drawing && <Drawing answer={worked.answer} />}
        </>
      ) : (
        <p class="quiet">{worked.fault || B.read.fitWants}</p>
      )}
    </section>
  );
}
