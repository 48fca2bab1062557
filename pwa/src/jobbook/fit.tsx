import type { ComponentChildren } from "preact";
import type { Rec } from "../records/fields";
import type { Repository } from "../records/repository";
import type { Answer, Sheet } from "../engine/contract.gen";
import { isRefused } from "../engine/reply";
import { Drawing } from "../drawing/lazy";
import { useApp, useLoaded } from "../screen/context";
import { usePrefs } from "../screen/prefs";
import { AnswerHead } from "../worksheet/answer";
import { Card } from "./parts";
import { ask } from "./prefill";

/**
 * The line through the last reading of each place, of one kind, worked out anew after every
 * reading.
 */
export function useLine(repo: Repository, setup: Rec, readings: readonly Rec[], kind: string) {
  const { bridge, describe } = useApp();
  const { unit } = usePrefs();
  const sheet = describe?.worksheets.find((s) => s.name === "tram");
  const { value, fault } = useLoaded(async () => {
    const given = { worksheet: "tram", setup: setup.id, kind };
    const { inputs } = await ask<{ inputs: Record<string, string> }>(repo, "prefill", given);
    const table = inputs["readings"] ?? "";
    const enough = new Set(table.split("; ").map((row) => row.split(",")[0])).size > 1;
    if (!sheet || !enough) return undefined;
    const lane = `line ${setup.id}`;
    // All the worksheet would be opened with: here and there the same readings are judged alike.
    const reply = await bridge.run("tram", unit, inputs, lane);
    return { table, reply };
  }, [bridge, repo, sheet, unit, setup, kind, ...readings]);
  const reply = value?.reply;
  const refused = reply && isRefused(reply);
  return {
    sheet,
    answer: reply && !refused ? reply : undefined,
    fault: fault || (refused ? reply.error.message : ""),
    /** The worksheet's text; "" while there is too little for a line. */
    text: value?.table ?? "",
  };
}

/** What a worksheet makes of the readings so far, or what it wants. */
export function Fit({
  title,
  kind,
  sheet,
  answer,
  children,
}: {
  title: string;
  kind?: string;
  sheet: Sheet | undefined;
  answer: Answer | undefined;
  children: ComponentChildren;
}) {
  return (
    <Card kind={kind} title={title} aria-live="polite">
      {answer && sheet ? (
        <>
          <AnswerHead sheet={sheet} answer={answer} />
          {sheet.drawing && <Drawing sheet={sheet} answer={answer} />}
        </>
      ) : (
        children
      )}
    </Card>
  );
}
