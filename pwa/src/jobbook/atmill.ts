// What stands at the mill: which step is next, whether it is read off a needle, what was read last.
import { nameOf, text, type Rec } from "../records/fields";
import type { Repository } from "../records/repository";
import type { Scene } from "../screen/face";
import { entryOf, findPages, type Known } from "../screen/pages";
import { isWhole, kindNext, lastOfEach, places, thou, withUnit, type Place } from "./readlogic";
import { sceneOf } from "./scene";

/** Worksheets whose answer is read off a needle. */
const NEEDLE = "tram tapin shim sweep square bar lever edge middle centre skew".split(" ");

/** What any step may want, where its own words name less. */
const USUAL = ["hole", "tram", "edge"];

/** Worksheets for a step, three at most: its own, those that its words name, and the usual ones. */
export function sheetsFor(known: Known | undefined, step: Rec | undefined): string[] {
  const own = text(step, "worksheet");
  if (!known) return own ? [own] : [];
  const pages = new Map<string, string>();
  const named = findPages(known, step ? nameOf(step) : "").list.map((e) => e.sheet);
  for (const sheet of [own, ...named, ...USUAL]) {
    const at = sheet && entryOf(known, sheet)?.sheets.join();
    if (at && !pages.has(at)) pages.set(at, sheet);
  }
  return [...pages.values()].slice(0, 3);
}

/** Whether a step is read off a needle; one without a worksheet by the first that fits it. */
export const onNeedle = (step: Rec | undefined, fits = ""): boolean =>
  !!step && (!!text(step, "gauge") || NEEDLE.includes(text(step, "worksheet") || fits));

/** Whether a reading is + away from the needle, in the words of the setup. */
export const farther = (setup: Rec): boolean =>
  /\b(away|farther)\b/i.test(text(setup, "sign")) && !/\b(towards?|nearer)\b/i.test(text(setup, "sign"));

/** A setup's readings, without those of indicating in. */
export const readingsOf = (repo: Repository, setup: Rec): Rec[] =>
  repo.all("reading").filter((r) => text(r, "setup") === setup.id && !text(r, "round"));

/** The last reading of each place, of the kind that the step is read in. */
export function lastRead(repo: Repository, setup: Rec, step: Rec | undefined): Rec[] {
  const all = readingsOf(repo, setup);
  const kind = kindNext(all, step?.id ?? "");
  return isWhole(kind) ? [] : lastOfEach(all, kind, places(setup, all, kind)).slice(0, 6);
}

/** The ends of what was read, as "left 0, right +2". */
export function endsOf(last: readonly Rec[]): string {
  const ends = last.length > 1 ? [last[0]!, last.at(-1)!] : last;
  return ends.map((r) => `${text(r, "station")} ${text(r, "value").replace(/ thou$/, "")}`).join(", ");
}

/** How true it has to be, as the needle says it: "1.5 thou"; "" where that was not said. */
export function wantedOf(setup: Rec): string {
  const typed = text(setup, "wanted");
  const unit = setup.units["wanted"] ?? "in";
  const n = /[a-z"]\s*$/.test(typed) ? undefined : thou(withUnit(typed, unit));
  return n === undefined || unit !== "in"
    ? typed && withUnit(typed, unit)
    : `${Math.round(n * 100) / 100} thou`;
}

/** A reading in thousandths; a bare number is that already. */
export const needleOf = (r: Rec | undefined): number | undefined => thou(withUnit(text(r, "value"), "thou"));

/** How it sits, with what was read of it where the step is read off a needle. */
export function sceneFor(repo: Repository, setup: Rec, step: Rec | undefined, last: readonly Rec[]): Scene {
  const way = farther(setup) ? -1 : 1;
  return sceneOf({
    fixture: repo.get(text(setup, "fixture")),
    part: repo.get(text(setup, "part")),
    feature: repo.get(text(step, "feature")),
    down: text(setup, "downside"),
    reads: last.map((r) => way * (needleOf(r) ?? NaN)),
  });
}

/** A place's distance along X in thousandths; undefined where it was not said. */
export const along = (p: Pick<Place, "x">): number | undefined => thou(withUnit(p.x, "in"));
