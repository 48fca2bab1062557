/**
 * What the worksheets that use the whole job at once take from it: a part's holes with every fixture, the chain of
 * setups with what was read in each, touches on a rough, a tapping in. Pure: records in, tables of texts out. It stands
 * here and not with the rules, since putting tables together in calc.wasm costs four times as much to send.
 */
import { pinNumber } from "../form/pin";
import { byMade, byOrder, nameOf, rows, text, type Rec, type Row } from "../records/fields";
import type { Kept } from "../records/kept";
import { B } from "../text/jobbook";

/** The records in memory, as far as these need them. */
export interface Look {
  all(kind: string): Rec[];
  get(id: string): Rec | undefined;
}

/** Inputs by key, and in words where each came from. */
export interface Filled {
  inputs: Record<string, string>;
  from: Record<string, string>;
}

const BARE = /^[-+]?\s*(\d+(\s*[-\s]\s*\d+\/\d+)?|\d*\.\d+|\d+\.|\d+\/\d+)$/;

const bare = (t: string, unit: string | undefined, small: boolean): string => {
  const mm = unit === "mm";
  return pinNumber(t, small ? (mm ? "um" : "thou") : mm ? "mm" : "in");
};

/** A length of a record with the unit that a bare number in it had. */
export const said = (rec: Rec | undefined, key: string): string =>
  bare(text(rec, key).trim(), rec?.units[key], key === "value");

const str = (v: unknown): string => (typeof v === "string" ? v : typeof v === "number" ? String(v) : "");

/** The same of a cell of a table; a choice or a name stays as it is. */
const cell = (r: Row, key: string): string => bare(str(r[key]).trim(), r.unit, false);

/** Rows as a worksheet reads them: no cell holds what parts cells. */
const table = (list: readonly (readonly string[])[]): string =>
  list.map((r) => r.map((c) => c.replace(/[,;]/g, " ")).join(", ")).join("; ");

const turned = (runs: unknown): string => (runs === "y" ? "90" : "0");

const full = (inputs: Record<string, string>, label: (key: string) => string): Filled => {
  const there = Object.entries(inputs).filter(([, t]) => t !== "");
  return { inputs: Object.fromEntries(there), from: Object.fromEntries(there.map(([k]) => [k, label(k)])) };
};

const featuresOf = (look: Look, part: string): Rec[] =>
  look
    .all("feature")
    .filter((f) => text(f, "part") === part)
    .sort(byMade);

const BOLTED = ["hole", "slot", "tapped"];

const boltOf = (f: Rec): string => text(f, "bolt") || text(f, "thread");

/** Faces of a part that have places for bolts, each with the first feature on it. */
export function boltedFaces(look: Look, part: string): { face: string; feature: Rec }[] {
  const out: { face: string; feature: Rec }[] = [];
  for (const f of featuresOf(look, part)) {
    const face = text(f, "face");
    if (BOLTED.includes(text(f, "kind")) && boltOf(f) && !out.some((x) => x.face === face))
      out.push({ face, feature: f });
  }
  return out;
}

/** The places for bolts on one face of a part. */
function pattern(look: Look, feature: Rec): string[][] {
  const face = text(feature, "face");
  return featuresOf(look, text(feature, "part")).flatMap((f) => {
    const kind = text(f, "kind");
    if (!BOLTED.includes(kind) || !boltOf(f) || text(f, "face") !== face) return [];
    const size = kind === "tapped" ? "" : said(f, "nominal") || said(f, "wide");
    const slot = kind === "slot" ? [said(f, "long"), turned(f.values["runs"])] : [];
    const at = [[said(f, "x"), said(f, "y")], ...rows(f, "also").map((r) => [cell(r, "x"), cell(r, "y")])];
    return at.map(([x = "", y = ""]) => [kind, x, y, boltOf(f), size, ...slot]);
  });
}

/** How a fixture is called in the table; the way back from a result to its record. */
export const fixtureName = (f: Rec): string =>
  [nameOf(f), text(f, "tag")].filter(Boolean).join(" ").replace(/[,;]/g, " ");

/**
 * Every fixture with the holes of its faces. What is no place for a bolt, as a dowel hole is not, is kept clear of; a
 * rib behind a face that has no holes, no slots and no size stands behind all that have.
 */
function shop(fixtures: readonly Rec[]): { fixtures: string; places: string; keep: string } {
  const [faces, places, keep]: [string[][], string[][], string[][]] = [[], [], []];
  for (const f of fixtures) {
    const name = fixtureName(f);
    const sizes = rows(f, "faces");
    const known = [
      ...new Set([...sizes, ...rows(f, "holes"), ...rows(f, "slots")].map((r) => str(r["face"]))),
    ];
    for (const face of known) {
      const r = sizes.find((s) => str(s["face"]) === face);
      const of = (key: string) => (r ? cell(r, key) : "");
      faces.push([name, face, of("wide"), of("high"), said(f, "thick"), of("left"), of("bottom")]);
    }
    const block = (r: Row, kind: string, wide: string, high: string) => {
      const [face, x, y] = [str(r["face"]), cell(r, "x"), cell(r, "y")];
      if (!x || !y || !wide || !high) return;
      for (const k of known.includes(face) ? [face] : known) keep.push([name, k, kind, x, y, wide, high]);
    };
    for (const r of rows(f, "holes")) {
      const [x, y, dia, thread] = [cell(r, "x"), cell(r, "y"), cell(r, "dia"), str(r["thread"])];
      if (!x || !y) continue; // nobody wrote down where it is
      const face = str(r["face"]);
      if (r["kind"] === "tapped" && thread) places.push([name, face, "tapped", x, y, "", thread]);
      else if (r["kind"] === "clear" && dia) places.push([name, face, "hole", x, y, dia]);
      else block(r, "clear", dia, dia);
    }
    for (const r of rows(f, "slots")) {
      const [x, y, long] = [cell(r, "x"), cell(r, "y"), cell(r, "long")];
      const kind = r["kind"] === "tee" ? "tslot" : "slot";
      if (x && y && long)
        places.push([name, str(r["face"]), kind, x, y, cell(r, "wide"), "", long, turned(r["runs"])]);
    }
    for (const r of rows(f, "ribs")) {
      const [long, thick] = [cell(r, "long"), cell(r, "thick")];
      if (r["runs"] === "y") block(r, "rib", thick, long);
      else block(r, "rib", long, thick);
    }
    for (const r of rows(f, "keepout")) block(r, "clear", cell(r, "wide"), cell(r, "high"));
  }
  return { fixtures: table(faces), places: table(places), keep: table(keep) };
}

/** Which fixture takes the part, by the face that a feature is on. */
export function fillMatch(look: Look, feature: Rec): Filled {
  const part = look.get(text(feature, "part"));
  const fixtures = look.all("fixture").sort(byMade);
  const owned = shop(fixtures);
  return full({ part: table(pattern(look, feature)), ...owned }, (key) =>
    key === "part"
      ? [part && nameOf(part), text(feature, "face")].filter(Boolean).join(", ")
      : B.hooks.fixtures(fixtures.length),
  );
}

/**
 * The finished surfaces of a part and the touches recorded on them: those that were touched, or where nothing was, all.
 * Where one of a touch's three distances is not given, the reading is that one.
 */
export function fillCleanup(look: Look, part: string, setup: Rec | undefined): Filled {
  const features = featuresOf(look, part);
  const touches = look
    .all("reading")
    .filter((r) => text(r, "kind") === "rough" && features.some((f) => f.id === text(r, "feature")))
    .sort(byMade);
  const at = (r: Rec): string[] => {
    const p = ["x", "y", "z"].map((key) => said(r, key));
    const open = p.indexOf("");
    if (open >= 0) p[open] = said(r, "value").replace(/^\+/, "");
    return p;
  };
  const surfaces = features.filter(
    (f) =>
      text(f, "looks") &&
      ["face", "bore", "boss", "wall", "ring"].includes(text(f, "kind")) &&
      (touches.length === 0 || touches.some((r) => text(r, "feature") === f.id)),
  );
  const down = text(setup, "downside");
  const up = down && (down[0] === "-" ? "+" : "-") + down[1]!;
  const round = (f: Rec) => ["bore", "boss", "ring"].includes(text(f, "kind"));
  return full(
    {
      features: table(
        surfaces.map((f) => [
          nameOf(f),
          text(f, "kind"),
          text(f, "looks"),
          ...["x", "y", "z"].map((key) => said(f, key) || "0"),
          round(f) ? said(f, "nominal") : "",
          said(f, "least"),
        ]),
      ),
      touches: table(touches.map((r) => [nameOf(look.get(text(r, "feature"))!), ...at(r)])),
      supports: table(
        rows(setup, "shims")
          .filter((r) => cell(r, "x") && cell(r, "y"))
          .map((r) => [str(r["place"]), cell(r, "x"), cell(r, "y"), cell(r, "z") || "0"]),
      ),
      up,
    },
    (key) =>
      key === "touches"
        ? B.hooks.touches(touches.length)
        : nameOf(key === "features" ? look.get(part)! : setup!),
  );
}

/** Places read in each round: two ends, or four sides of a sweep. */
export const ends = ["a", "b"] as const;
export const fours = ["right", "back", "left", "front"] as const;

/** A round of readings with the move made before it. */
export interface Round {
  n: number;
  reads: (Rec | undefined)[];
  move: string;
}

/** The rounds of a setup since the last first one, in order; a place read twice counts as read last. */
export function rounds(readings: readonly Rec[], kind: "tap" | "head"): Round[] {
  const places: readonly string[] = kind === "tap" ? ends : fours;
  let out: Round[] = [];
  for (const r of [...readings].sort(byMade)) {
    const n = Number(text(r, "round"));
    const i = places.indexOf(text(r, "station"));
    if (text(r, "kind") !== kind || !n || i < 0) continue;
    let last = out.at(-1);
    if (!last || last.n !== n) {
      if (n === 1) out = [];
      out.push((last = { n, reads: places.map(() => undefined), move: "" }));
    }
    last.reads[i] = r;
    last.move = text(r, "move") || last.move;
  }
  return out;
}

/** The table of the rounds that were read in full. */
export const roundText = (list: readonly Round[]): string =>
  list
    .filter((r) => r.reads.every(Boolean))
    .map((r) => [...r.reads.map((x) => said(x, "value")), ...(r.move ? [r.move] : [])].join(", "))
    .join("; ");

/** A tapping in, as far as it has gone. */
export function fillTapin(look: Look, setup: Rec): Filled {
  const mine = look.all("reading").filter((r) => text(r, "setup") === setup.id);
  const asked = (setup.values["tapin"] ?? {}) as Record<string, string>;
  return full(
    { ...asked, pairs: roundText(rounds(mine, "tap")), sweeps: roundText(rounds(mine, "head")) },
    () => nameOf(setup),
  );
}

const SIDE: Record<string, string> = {
  "+x": "right",
  "-x": "left",
  "+y": "back",
  "-y": "front",
  "+z": "top",
  "-z": "bottom",
};

/**
 * What is assumed where nothing was read: limits either way, over a length ("" is the seat), about an axis of the
 * machine. Common practice, no published source.
 */
const assumed = [
  ["seat", "x", "0.0005 in", ""],
  ["seat", "y", "0.0005 in", ""],
  ["plate", "x", "0.0005 in", "12 in"],
  ["tram", "z", "0.0005 in", "12 in"],
  ["head", "x", "0.0005 in", "12 in"],
  ["head", "y", "0.0005 in", "12 in"],
  ["way", "x", "0.0003 in", "12 in"],
  ["heat", "x", "0.0002 in", ""],
] as const;

/** A number of a kept answer, in inches or inches in an inch. */
function answered(k: Kept | undefined, key: string): number | undefined {
  const found = k?.answer.results[key];
  if (typeof found?.value !== "number") return undefined;
  const to: Record<string, number> = { in: 1, mm: 1 / 25.4, thou: 1e-3, um: 1e-3 / 25.4, "in/ft": 1 / 12 };
  const small: Record<string, number> = { "thou/ft": 1e-3 / 12, "mm/m": 1e-3, "um/m": 1e-6, "in/in": 1 };
  const factor = to[found.unit] ?? small[found.unit];
  return factor === undefined ? undefined : found.value * factor;
}

const inches = (x: number): string => `${Number(x.toFixed(6))} in`;

/** The rise of a slope such as ".2" or ".02 mm/m", with the length it is over. */
function slope(rec: Rec | undefined, key: string): { value: string; over: string } | undefined {
  const t = text(rec, key).trim();
  if (!t) return undefined;
  const whole = BARE.test(t) ? `${t} ${rec?.units[key] === "mm" ? "mm/m" : "thou/ft"}` : t;
  const m = /^(.*)\/\s*(ft|m|in)$/.exec(whole);
  return m ? { value: m[1]!.trim(), over: { ft: "12 in", m: "1000 mm", in: "1 in" }[m[2]!]! } : undefined;
}

/**
 * The chain of a job's setups: in order, with what is known or assumed of the errors of each, and the faces they
 * finish. A face is finished in the last setup with a step that names it. One plate or one machine that serves twice
 * is one error: its rows carry one mark.
 */
export function fillChain(look: Look, job: string, kept: readonly Kept[]): Filled {
  const setups = look
    .all("setup")
    .filter((s) => text(s, "job") === job)
    .sort(byOrder)
    .slice(0, 12);
  const finished = new Map<string, number>();
  setups.forEach((s, i) => {
    for (const step of look.all("step").filter((x) => text(x, "setup") === s.id)) {
      const f = look.get(text(step, "feature"));
      if (f && text(f, "looks")) finished.set(f.id, i + 1);
    }
  });
  const faces = [...finished.keys()]
    .map((id) => look.get(id)!)
    .sort((a, b) => finished.get(a.id)! - finished.get(b.id)! || byMade(a, b))
    .slice(0, 12);
  const last = (sheet: string, setup: Rec) =>
    kept
      .filter((k) => k.worksheet === sheet && k.links?.setup === setup.id)
      .sort((a, b) => (a.created < b.created ? -1 : 1))
      .at(-1);
  const causes: string[][] = [];
  const read: string[] = [];
  const marks = new Set<string>();
  const swept = new Map<string, string>();
  const chain = setups.map((s, i) => {
    const n = String(i + 1);
    const seat = look.get(text(s, "seat"));
    const fixture = look.get(text(s, "fixture"));
    const machine = look.get(text(s, "machine"));
    const upright = text(fixture, "kind") === "angle";
    for (const [what, way, limit, length] of assumed) {
      let [axis, value, pm, over]: [string, string, string, string] = [way, "", limit, length];
      let carrier: Rec | undefined;
      let label: string = what;
      if (what === "plate") {
        if (!upright) continue;
        carrier = fixture;
        const known = slope(fixture, "square");
        if (known) {
          ({ value, over } = known);
          pm = known.over === "1000 mm" ? "0.02 mm" : known.over === "1 in" ? "0.00002 in" : "0.0002 in";
        }
      } else if (what === "tram") {
        if (!upright) axis = "y";
        const k = last("tram", s);
        const [total, sure, long] = [answered(k, "total"), answered(k, "sure"), answered(k, "length")];
        // What rises to the right turns it clockwise, from above or from behind.
        if (total !== undefined && sure && long)
          [value, pm, over] = [inches(-total), inches(sure), inches(long)];
      } else if (what === "head") {
        carrier = machine;
        const k = last("sweep", s);
        const [x, y] = [answered(k, "tiltx"), answered(k, "tilty")];
        const [sure, dia] = [answered(k, "sure"), answered(k, "dia")];
        if (x !== undefined && y !== undefined && sure && dia) {
          // The top leans to the side that reads nearer: to the back lowers the back.
          [value, pm, over] = [inches((axis === "y" ? x : -y) * dia), inches(sure), inches(dia)];
          swept.set(machine?.id ?? "", ` ${n}`);
        }
        label += swept.get(machine?.id ?? "") ?? "";
      } else if (what === "way") {
        carrier = machine;
      }
      const of = B.hooks.cause(what, n);
      if (value && !read.includes(of)) read.push(of);
      const mark = carrier ? `${text(carrier, "tag") || nameOf(carrier)} ${label}` : "";
      if (mark && marks.has(mark + axis)) [value, pm, over] = ["", "", ""];
      marks.add(mark + axis);
      causes.push([n, what, axis, value, pm, over, mark]);
    }
    const before = finished.get(seat?.id ?? "") ?? 0;
    return [
      nameOf(s),
      SIDE[text(s, "downside") || text(seat, "looks")] ?? "",
      String(before <= i ? before : 0),
      said(seat, "long") || said(seat, "nominal") || "12 in",
      text(s, "turn") || "0",
    ];
  });
  const name = nameOf(look.get(job)!);
  return full(
    {
      setups: table(chain),
      causes: table(causes.slice(0, 60)),
      faces: table(
        faces.map((f) => {
          const plain = text(f, "kind") === "face";
          const long = said(f, "long") || said(f, "nominal") || said(f, "wide") || "12 in";
          return [
            nameOf(f),
            String(finished.get(f.id)),
            SIDE[text(f, "looks")] ?? "",
            plain ? "face" : "holes",
            String(faces.findIndex((x) => x.id === text(f, "to")) + 1),
            plain ? long : said(f, "depth") || long,
            said(f, "square"),
          ];
        }),
      ),
    },
    (key) => (key === "causes" ? B.hooks.causes(read) : name),
  );
}
