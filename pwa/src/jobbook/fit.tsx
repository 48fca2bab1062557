import type { Rec } from "../records/fields";
import type { Shelf } from "../records/repository";
import type { Answer, Sheet } from "../engine/contract.gen";
import { isRefused } from "../engine/reply";
import { drawings } from "../drawing/registry";
import { useApp, useLoaded } from "../screen/context";
import { usePrefs } from "../screen/prefs";
import { B } from "../text/jobbook";
import { AnswerHead, inALine, levelOf } from "../worksheet/answer";
import { ask } from "./prefill";

export interface Line {
  answer?: Answer | undefined;
  fault: string;
  /** The worksheet's text; "" while there is too little for a line. */
  text: string;
  /** The answer in a few words. */
  line: string;
  level: "good" | "refuse" | "caution" | "note" | "none";
}

/** The line through the last reading of each place, of one kind, worked out anew after every reading. */
export function useLine(shelf: Shelf, setup: Rec, readings: readonly Rec[], kind: string): Line {
  const { bridge, describe } = useApp();
  const { unit } = usePrefs();
  const sheet = describe?.worksheets.find((s) => s.name === "tram");
  const { value, fault } = useLoaded(async () => {
    const given = { worksheet: "tram", setup: setup.id, kind };
    const { inputs } = await ask<{ inputs: Record<string, string> }>(shelf, "prefill", given);
    const { readings: table = "", allow } = inputs;
    const enough = new Set(table.split("; ").map((row) => row.split(",")[0])).size > 1;
    if (!sheet || !enough) return undefined;
    const lane = `line ${setup.id}`;
    const reply = await bridge.run("tram", unit, { readings: table, ...(allow && { allow }) }, lane);
    return { table, reply };
  }, [bridge, shelf, sheet, unit, setup, kind, ...readings]);
  const reply = value?.reply;
  const answer = reply && !isRefused(reply) ? reply : undefined;
  return {
    answer,
    fault: fault || (reply && isRefused(reply) ? reply.error.message : ""),
    text: value?.table ?? "",
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
