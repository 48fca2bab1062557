import type { Rec } from "../records/fields";
import type { Repository } from "../records/repository";
import { isRefused } from "../engine/reply";
import { useApp, useLoaded } from "../screen/context";
import { usePrefs } from "../screen/prefs";
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
