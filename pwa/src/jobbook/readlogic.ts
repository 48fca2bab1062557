/** What a reading's text becomes, and which place comes next. Pure. */
import { pinTyped } from "../form/pin";
import { byMade, rows, text, type Rec } from "../records/fields";

/** Whether it is a number, with or without a unit, or at least begins as one. */
export const isReading = (typed: string): boolean => /^[-+]?\s*[\d.]/.test(typed.trim()) && /\d/.test(typed);

/**
 * "1.5" becomes "+1.5 thou": a kept reading carries its sign and its unit, so that it can be read
 * anywhere.
 */
export function signed(typed: string, bare: "thou" | "in" | "mm", system: "in" | "mm"): string {
  let t = typed
    .trim()
    .replace(/\s+/g, " ")
    .replace(/^[\u2212\u2013]/, "-");
  t = pinTyped(t, bare === "thou" && system === "mm" ? "um" : bare);
  if (/^[-+]/.test(t)) return t.replace(/^([-+]) +/, "$1");
  return /^0*\.?0*\D*$/.test(t.replace(/[a-z ]+$/i, "")) ? t : `+${t}`;
}

/**
 * A bare number of thou (or um) that cannot be one, as the whole length it was likely meant for: finer
 * than an indicator is read, or farther than one travels.
 */
export function wholeMeant(typed: string, bare: string, system: "in" | "mm"): string | undefined {
  const m = /^[-+\u2212]?\s*(?:\d+\.?|\d*\.(\d+))$/.exec(typed.trim());
  if (!m || bare !== "thou") return undefined;
  const [finest, farthest] = system === "mm" ? [1, 25_000] : [2, 1000];
  const n = Number(typed.replace(/[^\d.]/g, ""));
  const can = (m[1] ?? "").replace(/0+$/, "").length <= finest && n < farthest;
  return n === 0 || can ? undefined : `${typed.trim()} ${system}`;
}

/** Whether a whole length is a size, not how far a needle went: a tenth of an inch and more. */
export const isSize = (length: string): boolean => Math.abs(thou(length.replace("\u2212", "-")) ?? 0) >= 100;

const inThou: Record<string, number> = { thou: 1, in: 1000, '"': 1000, mm: 1000 / 25.4, um: 1 / 25.4 };

/** A reading in thousandths, for showing a difference only; undefined where this cannot read it. */
export function thou(read: string): number | undefined {
  const m = /^([-+]?)\s*(?:(\d+)[\s-])?(\d*\.?\d+)\.?(?:\/(\d+))?\s*(thou|in|"|mm|um)$/.exec(read.trim());
  if (!m) return undefined;
  const [, sign, whole = "0", top, under] = m;
  const size = Number(whole) + Number(top) / (under ? Number(under) : 1);
  const n = size * inThou[m[5]!]!;
  return Number.isFinite(n) ? (sign === "-" ? -n : n) : undefined;
}

export interface Place {
  name: string;
  x: string;
  expected: string;
  /** Fields of a touch on a rough. */
  y?: string;
  z?: string;
}

/**
 * Places of a setup: those read last time, then those read now, in that order. With a kind only
 * those of its like: where a needle was read and where a size was taken are different places.
 */
export function places(setup: Rec | undefined, readings: readonly Rec[], kind?: string): Place[] {
  const out: Place[] = [];
  const like = (of: string): boolean => !kind || !of || isWhole(of) === isWhole(kind);
  const put = (name: string, x: string, expected: string) => {
    if (!name) return;
    const there = out.find((p) => p.name === name);
    if (!there) out.push({ name, x, expected });
    else {
      if (x) there.x = x;
      there.expected ||= expected;
    }
  };
  for (const row of rows(setup, "expected").filter((row) => like(cell(row["kind"])))) {
    put(cell(row["station"]), cell(row["x"]), cell(row["value"]));
  }
  for (const r of readings.filter((r) => like(text(r, "kind"))).sort(byMade)) {
    put(text(r, "station"), text(r, "x"), "");
    const there = out.find((p) => p.name === text(r, "station"));
    for (const key of ["y", "z"] as const) if (there && text(r, key)) there[key] = text(r, key);
  }
  return out;
}

const cell = (v: unknown): string => (typeof v === "string" ? v : typeof v === "number" ? String(v) : "");

/** The last reading of each place, of one kind, in the order of the places. */
export function lastOfEach(readings: readonly Rec[], kind: string, at: readonly Place[]): Rec[] {
  const last = new Map<string, Rec>();
  for (const r of [...readings].sort(byMade)) {
    if (text(r, "kind") === kind) last.set(text(r, "station"), r);
  }
  return at.flatMap((p) => last.get(p.name) ?? []);
}

/** Kinds of reading that are a whole length, not so many thousandths off zero. */
export const isWhole = (kind: string): boolean => kind === "size" || kind === "rough";

/**
 * The kind that is read next: that of the step's own last reading; else of the setup's last one
 * that is not a whole length, since a bare number would then be inches where thousandths are meant.
 */
export function kindNext(readings: readonly Rec[], step: string): string {
  const last = [...readings].sort(byMade).reverse();
  const own = last.find((r) => step !== "" && text(r, "step") === step);
  return text(own ?? last.find((r) => !isWhole(text(r, "kind"))), "kind") || "before";
}

/**
 * Places read in the round that goes on: once all of them were read, the next reading begins another;
 * before that a place read again is put right.
 */
export function roundOf(at: readonly Place[], readings: readonly Rec[], kind: string): Set<string> {
  const mine = readings.filter((r) => text(r, "kind") === kind).sort(byMade);
  const all = new Set([...at.map((p) => p.name), ...mine.map((r) => text(r, "station"))]);
  let round = new Set<string>();
  for (const r of mine) {
    if (round.size === all.size) round = new Set();
    round.add(text(r, "station"));
  }
  return round;
}

/** Whether this round has both ends of the line, so that it alone says what to move. */
export function endsRead(line: readonly Rec[], round: ReadonlySet<string>): boolean {
  const at = line.map((r) => ({ name: text(r, "station"), x: thou(withUnit(text(r, "x"), "in")) }));
  if (at.every((p) => p.x !== undefined)) at.sort((a, b) => a.x! - b.x!);
  return [at[0], at.at(-1)].every((p) => !p || round.has(p.name));
}

/** A length as typed, with its unit where it has none. */
export const withUnit = (typed: string, unit: string): string =>
  /\d\.?$/.test(typed) ? `${typed} ${unit}` : typed;

/**
 * After one place comes the next that was not read in this round yet; on a run of numbers, the
 * number after it; else the first, and with it a new round.
 */
export function nextPlace(at: readonly Place[], readings: readonly Rec[], kind: string, now: string): string {
  const round = roundOf(at, readings, kind);
  const i = at.findIndex((p) => p.name === now);
  const order = [...at.slice(i + 1), ...at.slice(0, Math.max(0, i))];
  const open = order.find((p) => !round.has(p.name) && p.name !== now);
  if (open) return open.name;
  const number = /^(.*?)(\d+)$/.exec(now);
  const anew = readings.filter((r) => text(r, "kind") === kind).length > round.size;
  if (i === at.length - 1 && number && !anew && !at[i]?.expected)
    return `${number[1]}${Number(number[2]) + 1}`;
  return (at[0]?.name === now ? at[1]?.name : at[0]?.name) ?? (now || "1");
}
