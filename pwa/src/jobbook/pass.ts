// The stopwatch of a step's pass. Kept is when it was started, not what has gone by: so it goes on
// through a reload, on other pages, and while the phone is locked. Pure but for the pocket.
import { inPocket, putInPocket } from "../screen/pocket";

/** A moment by the phone's clock and by the page's own, which nobody sets, but which ends with it. */
export interface Moment {
  at: number;
  /** Which run of the page it is. */
  run: number;
  own: number;
}

export type Elapsed = { ms: number } | { wrong: "back" | "long" };

/** A pass that takes longer was forgotten. */
const LONGEST = 12 * 3600_000;
/** What two clocks may differ by and still agree. */
const SLACK = 2000;

let hidden = -1;
globalThis.document?.addEventListener("visibilitychange", () => {
  if (document.visibilityState === "hidden") hidden = performance.now();
});

export const moment = (): Moment => ({
  at: Date.now(),
  run: performance.timeOrigin,
  own: performance.now(),
});

/**
 * What has gone by since the start. While the page was in sight all the time its own clock is right,
 * whatever the phone's was set to; it may have stood still while the phone slept, so that it is the
 * least that has gone by.
 */
export function elapsed(start: Moment, now: Moment, lastHidden = hidden): Elapsed {
  const same = now.run === start.run;
  const least = same ? now.own - start.own : 0;
  const ms = same && lastHidden < start.own ? least : now.at - start.at;
  if (!(ms >= least - SLACK)) return { wrong: "back" };
  return ms > LONGEST ? { wrong: "long" } : { ms: Math.max(0, ms) };
}

/** As it is kept: seconds under a minute, else minutes to a second. */
export function passText(ms: number): string {
  const s = Math.max(1, Math.round(ms / 1000));
  return s < 60 ? `${s} s` : `${Number((s / 60).toFixed(2))} min`;
}

/** As a stopwatch shows it. */
export function passClock(ms: number): string {
  const s = Math.floor(ms / 1000);
  const two = (n: number) => String(n % 60).padStart(2, "0");
  const min = Math.floor(s / 60);
  return min < 60 ? `${min}:${two(s)}` : `${Math.floor(min / 60)}:${two(min)}:${two(s)}`;
}

const KEY = "datumbook.passes";
let mine: Record<string, Moment> = {};

const isMoment = (v: unknown): v is Moment =>
  ["at", "run", "own"].every((key) => Number.isFinite((v as Record<string, unknown> | null)?.[key]));

function running(): Record<string, Moment> {
  const kept = inPocket(KEY);
  if (typeof kept === "object")
    mine = Object.fromEntries(Object.entries(kept!).filter((e): e is [string, Moment] => isMoment(e[1])));
  return mine;
}

/** When the pass of a step was started; undefined where none runs. */
export const startOf = (step: string): Moment | undefined => running()[step];

/** Starts or, without a moment, takes away. One that was forgotten at another step goes too. */
export function setStart(step: string, start: Moment | undefined): void {
  const { [step]: _, ...others } = running();
  const now = moment();
  const live = Object.entries(others).filter(([, s]) => "ms" in elapsed(s, now));
  mine = { ...Object.fromEntries(live), ...(start && { [step]: start }) };
  putInPocket(KEY, mine);
}
