/** What stands on paper, worked out from the records. Pure. */
import { pinNumber } from "../form/pin";
import type { Place } from "../drawing/face";
import { byMade, byOrder, nameOf, rows, text, yes, type Rec, type Row } from "../records/fields";
import type { Kept } from "../records/kept";
import type { RecordKind } from "../engine/contract.gen";
import { thou } from "../jobbook/readlogic";

/** "setup/setup:01..." as its page and its record; undefined where there is no such page for it. */
export function parsePage(
  path: string,
  kinds: readonly Pick<RecordKind, "key" | "pages">[],
): { what: string; id: string } | undefined {
  const [, what = "", id = "", kind] = /^(\w+)\/((\w+):.*)$/.exec(path) ?? [];
  return kinds.find((k) => k.key === kind)?.pages.includes(what) ? { what, id } : undefined;
}

/** The records in memory, as far as these pages need them. */
export interface Look {
  all(kind: string): Rec[];
  get(id: string): Rec | undefined;
}

const of = (look: Look, kind: string, key: string, ids: ReadonlySet<string>): Rec[] =>
  look.all(kind).filter((r) => ids.has(text(r, key)));

/** Everything that is part of a job: itself, its parts, setups and the records linked to those. */
export function belongings(look: Look, job: Rec): Rec[] {
  const root = new Set([job.id]);
  const parts = of(look, "part", "job", root).sort(byMade);
  const features = of(look, "feature", "part", new Set(parts.map((p) => p.id))).sort(byMade);
  const setups = of(look, "setup", "job", root).sort(byOrder);
  const at = new Set(setups.map((s) => s.id));
  const steps = of(look, "step", "setup", at).sort(byOrder);
  const readings = of(look, "reading", "setup", at).sort(byMade);
  const kept = look.all("kept").filter((k) => text(k, "job") === job.id || at.has(text(k, "setup")));
  const so = [job, ...parts, ...features, ...setups, ...steps, ...readings, ...kept.sort(byMade)];
  const all = new Set(so.map((r) => r.id));
  return [
    ...so,
    ...of(look, "note", "about", all).sort(byMade),
    ...of(look, "photo", "about", all).sort(byMade),
  ];
}

/** The job a record is of, if it is of one. */
export function jobOf(look: Look, rec: Rec): Rec | undefined {
  if (rec.kind === "job") return rec;
  const part = look.get(text(rec, "part"));
  return look.get(text(rec, "job") || text(part, "job"));
}

export const partsOf = (look: Look, rec: Rec): Rec[] =>
  rec.kind === "part" ? [rec] : of(look, "part", "job", new Set([rec.id])).sort(byMade);

/** The features of a part, or of all parts of a job. */
export function featuresOf(look: Look, rec: Rec): Rec[] {
  return partsOf(look, rec).flatMap((p) => of(look, "feature", "part", new Set([p.id])).sort(byMade));
}

/** A size as kept, with the unit that a bare number had where it was typed. */
export function sized(rec: Rec, key: string, small = false): string {
  const mm = rec.units[key] === "mm";
  return pinNumber(text(rec, key).trim(), small ? (mm ? "um" : "thou") : mm ? "mm" : "in");
}

export interface Limits {
  nominal: string;
  tolerance: string;
  low: string;
  high: string;
}

/** Thousandths as a size, to a tenth of a tenth; in the unit the drawing is in. */
function said(thousandths: number, mm: boolean): string {
  const n = mm ? thousandths * 0.0254 : thousandths / 1000;
  const t = n.toFixed(mm ? 4 : 5).replace(/0$/, "");
  return `${t === "-0.0000" || t === "-0.000" ? t.slice(1) : t} ${mm ? "mm" : "in"}`;
}

/**
 * The limits of a size from its nominal and its two deviations; undefined where they are not all
 * given.
 */
export function limits(feature: Rec): Limits | undefined {
  const nominal = sized(feature, "nominal");
  const plus = sized(feature, "plus");
  const minus = sized(feature, "minus");
  const [n, p, m] = [thou(nominal), thou(plus), thou(minus)];
  if (n === undefined || p === undefined || m === undefined || p < m) return undefined;
  const mm = /mm$/.test(nominal);
  return {
    nominal,
    tolerance: `${sign(plus)} / ${sign(minus)}`,
    low: said(n + m, mm),
    high: said(n + p, mm),
  };
}

const sign = (t: string): string => (/^[-+]/.test(t) || /^0?\.?0* /.test(t) ? t : `+${t}`);

export interface Measured {
  feature: Rec;
  limits: Limits | undefined;
  /** Absent where nothing was measured yet. */
  reading?: Rec;
  /** A kept result of 'accept', in the place of a reading. */
  kept?: Rec;
}

/**
 * Each feature with each size read of it and each kept acceptance; a feature without any stands
 * with a blank.
 */
export function inspection(look: Look, rec: Rec): Measured[] {
  const readings = look.all("reading").sort(byMade);
  return featuresOf(look, rec).flatMap((feature): Measured[] => {
    const mine = readings.filter((r) => text(r, "feature") === feature.id && text(r, "kind") === "size");
    const held = look
      .all("kept")
      .filter(
        (k) =>
          text(k, "worksheet") === "accept" &&
          (text(k, "feature") || text(look.get(text(k, "step")), "feature")) === feature.id,
      )
      .sort(byMade);
    const l = limits(feature);
    return mine.length + held.length > 0
      ? [
          ...mine.map((reading) => ({ feature, limits: l, reading })),
          ...held.map((kept) => ({ feature, limits: l, kept })),
        ]
      : [{ feature, limits: l }];
  });
}

/**
 * In or out by the bare number, where the reading does not say how sure it is; undefined where it
 * cannot be told.
 */
export function within(l: Limits | undefined, value: string): boolean | undefined {
  const [v, low, high] = [thou(value), l && thou(l.low), l && thou(l.high)];
  return v === undefined || low === undefined || high === undefined ? undefined : v >= low && v <= high;
}

/** What was read at each station of a setup, the expected beside the found. */
export function readingRows(look: Look, setup: Rec): { reading: Rec; expected: string }[] {
  const expected = rows(setup, "expected");
  return of(look, "reading", "setup", new Set([setup.id]))
    .sort(byMade)
    .map((reading) => {
      const row = expected.find((e) => e["station"] === text(reading, "station"));
      return { reading, expected: typeof row?.["value"] === "string" ? row["value"] : "" };
    });
}

export const stepsIn = (look: Look, setup: Rec): Rec[] =>
  of(look, "step", "setup", new Set([setup.id])).sort(byOrder);

export const about = (look: Look, kind: "note" | "photo", id: string): Rec[] =>
  of(look, kind, "about", new Set([id])).sort(byMade);

/** What a record reads like where names are compared. */
const plain = (v: unknown): string => (typeof v === "string" ? v.trim().toLowerCase() : "");

/** The bolts of a setup in the order of their nuts, each with the place on the face that it is in. */
export function nuts(setup: Rec, places: readonly Place[]): { row: Row; place?: Place | undefined }[] {
  const turn = (r: Row) => Number(r["order"] ?? NaN) || Infinity;
  return rows(setup, "bolts")
    .map((row) => ({ row, place: places.find((p) => p.name && plain(p.name) === plain(row["hole"])) }))
    .sort((a, b) => turn(a.row) - turn(b.row) || 0);
}

/** The rows of the two holes of a fixture that most setups were bolted to; undefined where none was. */
export function askedMost(look: Look, fixture: Rec): readonly [Row, Row] | undefined {
  const holes = rows(fixture, "holes");
  const count = new Map<string, { n: number; pair: readonly [Row, Row] }>();
  for (const setup of of(look, "setup", "fixture", new Set([fixture.id]))) {
    const names = new Set(rows(setup, "bolts").map((b) => plain(b["hole"])));
    const used = holes.filter((h) => plain(h["name"]) && names.has(plain(h["name"])));
    used.forEach((a, i) =>
      used.slice(i + 1).forEach((b) => {
        if (plain(a["face"]) !== plain(b["face"])) return;
        const key = `${a.row} ${b.row}`;
        count.set(key, { n: (count.get(key)?.n ?? 0) + 1, pair: [a, b] });
      }),
    );
  }
  return [...count.values()].sort((a, b) => b.n - a.n)[0]?.pair;
}

/** Of each worksheet kept in a setup the last answer, the first kept first. */
export function lastKept(list: readonly Kept[]): Kept[] {
  const last = new Map(list.map((k) => [k.worksheet, k._id]));
  return list.filter((k) => last.get(k.worksheet) === k._id);
}

/**
 * What a sheet warns of: refusals of what was kept first, two at most; else the first caution, and
 * the usual one after it.
 */
export function warnings(
  list: readonly Kept[],
  usual: string,
): { level: "refuse" | "caution"; of: string; text: string }[] {
  const all = lastKept(list).flatMap((k) => k.answer.cautions.map((c) => ({ ...c, of: k.worksheet })));
  const grave = (is: "refuse" | "caution") =>
    all.filter((c) => c.level === is).map((c) => ({ level: is, of: c.of, text: c.text }));
  const kept = [...grave("refuse"), ...grave("caution").slice(0, 1)].slice(0, 2);
  return [...kept, { level: "caution" as const, of: "", text: usual }].slice(0, 2);
}

/**
 * How many lift a weight: common practice, no published source; the 50 lb of one are near the 51 lb
 * of the NIOSH lifting equation of 1991 (from memory). "" where the weight is not known.
 */
export function lifters(weight: string): "" | "one" | "two" | "hoist" {
  const [, n, unit] = /^(\d*\.?\d+) ?(lb|kg)$/.exec(weight.trim()) ?? [];
  if (!n) return "";
  const lb = Number(n) * (unit === "kg" ? 1 / 0.45359237 : 1);
  return lb <= 50 ? "one" : lb <= 90 ? "two" : "hoist";
}

/** A record's changes that one person wrote in one go, together. */
export function together<T extends { at: string; by: string }>(
  past: readonly { rec: Rec; line: T }[],
): { rec: Rec; lines: T[] }[] {
  const out: { rec: Rec; lines: T[] }[] = [];
  for (const { rec, line } of past) {
    const last = out.at(-1);
    const one = last?.lines[0];
    if (last && last.rec.id === rec.id && one?.at === line.at && one.by === line.by) last.lines.push(line);
    else out.push({ rec, lines: [line] });
  }
  return out;
}

/** What stands at the head of every sheet: the job, its drawing, the part. */
export function heading(look: Look, rec: Rec): { job: string; drawing: string; part: string } {
  const job = jobOf(look, rec);
  const part =
    rec.kind === "part"
      ? rec
      : (look.get(text(rec, "part")) ?? (job && look.all("part").find((p) => text(p, "job") === job.id)));
  const from = text(part, "drawing") ? part : job;
  const revision = text(part, "revision") || text(job, "revision");
  return {
    job: job ? nameOf(job) : "",
    drawing: [text(from, "drawing"), revision && `rev. ${revision}`].filter(Boolean).join(" "),
    part: part ? [nameOf(part), text(part, "casting")].filter(Boolean).join(", ") : "",
  };
}

/** The address a label leads to. */
export function labelAddress(origin: string, rec: Rec): string {
  const page = rec.kind === "job" || rec.kind === "setup" ? rec.kind : "record";
  return `${origin}/#/${page}/${encodeURIComponent(rec.id)}`;
}

/** The black squares of a code as the path of a drawing, one unit a square. */
export function squares(code: { size: number; get(x: number, y: number): boolean }): string {
  let d = "";
  for (let y = 0; y < code.size; y++) {
    for (let x = 0; x < code.size; x++) {
      if (!code.get(x, y)) continue;
      let n = 1;
      while (x + n < code.size && code.get(x + n, y)) n++;
      d += `M${x} ${y}h${n}v1h-${n}z`;
      x += n - 1;
    }
  }
  return d;
}

export const ticked = (step: Rec): boolean => yes(step, "done");
