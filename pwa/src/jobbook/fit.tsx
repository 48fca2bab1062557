import type { ComponentChildren } from "preact";
import { text, type Rec } from "../records/fields";
import type { Answer, Sheet } from "../engine/contract.gen";
import { isRefused } from "../engine/reply";
import { drawings } from "../drawing/registry";
import { useApp, useLoaded } from "../screen/context";
import { usePrefs } from "../screen/prefs";
import { AnswerHead } from "../worksheet/answer";
import { Card } from "./parts";
import { lineText, type Place } from "./readlogic";

/** The line through the last reading of each place, worked out anew after every reading. */
export function useLine(setup: Rec, readings: readonly Rec[], at: readonly Place[]) {
  const { bridge, describe } = useApp();
  const { unit } = usePrefs();
  const sheet = describe?.worksheets.find((s) => s.name === "tram");
  const table = lineText(readings, at, unit);
  const enough = new Set(table.split("; ").map((row) => row.split(",")[0])).size > 1;
  const allow = text(setup, "wanted");
  const { value: reply, fault } = useLoaded(async () => {
    if (!sheet || !enough) return undefined;
    return bridge.run("tram", unit, { readings: table, ...(allow && { allow }) }, `line ${setup.id}`);
  }, [bridge, sheet, table, enough, allow, unit, setup.id]);
  const refused = reply && isRefused(reply);
  return {
    sheet,
    answer: enough && reply && !refused ? reply : undefined,
    fault: enough ? (refused ? reply.error.message : fault) : "",
    /** The worksheet's text; "" while there is too little for a line. */
    text: enough ? table : "",
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
  const Drawing = drawings[sheet?.drawing ?? ""];
  return (
    <Card kind={kind} title={title} aria-live="polite">
      {answer && sheet ? (
        <>
          <AnswerHead sheet={sheet} answer={answer} />
          {Drawing && <Drawing answer={answer} />}
        </>
      ) : (
        children
      )}
    </Card>
  );
}
