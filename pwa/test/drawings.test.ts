// The late drawings over live answers: the worksheets' examples in both unit systems, and the same with their numbers
// changed at random.
import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, test } from "node:test";
import type { Answer, Describe, Reply, Sheet } from "../src/calc/types";
import { isFault } from "../src/calc/types";
import { boxOf, type Picture, times, wrap, wide } from "../src/drawing/pad";
import { plans } from "../src/drawing/plans";
import { Reader } from "../src/drawing/read";
import { drawings, lateNames } from "../src/drawing/registry";
import { pictureOf } from "../src/drawing/shown";

const dir = mkdtempSync(join(tmpdir(), "datumbook-drawings-"));
after(() => rmSync(dir, { recursive: true, force: true }));
const bin = join(dir, "datumbook");
execFileSync("go", ["build", "-o", bin, "./cmd/datumbook"], { cwd: ".." });

const described = JSON.parse(
  execFileSync(bin, ["calc", "--list", "--json"], { encoding: "utf8" }),
) as Describe;
const sheets = described.worksheets.filter((s) => s.drawing !== "" && s.drawing !== "hole");

type Pairs = Record<string, string>;

function ask(name: string, pairs: Pairs, unit = "in"): Reply {
  const args = [
    "calc",
    name,
    ...Object.entries(pairs).map(([k, v]) => `${k}=${v}`),
    "--json",
    "--unit",
    unit,
  ];
  const out = spawnSync(bin, args, { encoding: "utf8" }).stdout;
  return JSON.parse(out) as Reply;
}

function answer(name: string, pairs: Pairs, unit = "in"): Answer {
  const reply = ask(name, pairs, unit);
  if (isFault(reply)) throw new Error(`${name}: ${reply.error.message}`);
  return reply;
}

/** The worksheet's own example, as its help writes it. */
function example(s: Sheet): Pairs {
  const help = execFileSync(bin, ["calc", s.name, "--help"], { encoding: "utf8" });
  const line = help.split("\n").find((l) => l.trim().startsWith(`datumbook calc ${s.name} `)) ?? "";
  const out: Pairs = {};
  for (const m of line.matchAll(/(\w+)=(?:'([^']*(?:'\\''[^']*)*)'|"([^"]*)"|(\S+))/g)) {
    out[m[1]!] = (m[2] ?? m[3] ?? m[4]!).replaceAll(`'\\''`, "'");
  }
  return out;
}

let seed = 11;
const random = (): number => (seed = (seed * 48271) % 2147483647) / 2147483647;

/** Every number of a quantity changed by up to half, as typed decimals. */
function shaken(s: Sheet, pairs: Pairs): Pairs {
  const out: Pairs = {};
  for (const [k, v] of Object.entries(pairs)) {
    const kind = s.inputs.find((i) => i.key === k)!.kind;
    const fixed = ["choice", "choices", "thread", "drill", "text", "flag"].includes(kind);
    out[k] = fixed
      ? v
      : v.replace(/\d*\.?\d+/g, (n) =>
          kind === "count"
            ? String(1 + Math.floor(random() * 2 * Number(n)))
            : (Number(n) * (0.5 + random())).toFixed(4),
        );
  }
  return out;
}

interface Case {
  name: string;
  answer: Answer;
  picture: Picture | undefined;
  sure: boolean;
}

const cases: Case[] = [];
const add = (s: Sheet, what: string, reply: Reply, sure: boolean): void => {
  if (isFault(reply)) {
    assert.ok(!sure, `${s.name} ${what}: ${reply.error.message}`);
    return;
  }
  cases.push({ name: `${s.name} ${what}`, answer: reply, picture: pictureOf(s.drawing, reply), sure });
};
for (const s of sheets) {
  const own = example(s);
  add(s, "example", ask(s.name, own), true);
  add(s, "example in mm", ask(s.name, own, "mm"), true);
  const full = Object.fromEntries(s.inputs.filter((i) => i.example).map((i) => [i.key, i.example]));
  add(s, "all filled in", ask(s.name, full), false);
  for (let i = 0; i < 6; i++) {
    add(s, `shaken ${i}`, ask(s.name, shaken(s, own)), false);
    add(s, `all filled in, shaken ${i}`, ask(s.name, shaken(s, full)), false);
  }
}

test("every drawing a worksheet names is there, and its name is known before it comes", () => {
  assert.deepEqual([...lateNames].sort(), Object.keys(plans).sort());
  for (const s of described.worksheets)
    if (s.drawing) assert.ok(drawings[s.drawing], `${s.name}: ${s.drawing}`);
});

test("every worksheet's example has its drawing", () => {
  assert.ok(cases.length > 4 * sheets.length, `only ${cases.length} answers`);
  for (const c of cases) if (c.sure) assert.ok(c.picture, c.name);
});

const numbers = (d: string): number[] => (d.match(/-?\d+(\.\d+)?(e-?\d+)?/g) ?? []).map(Number);

/** The points of a path: of an arc its ends. */
function points(d: string): [number, number][] {
  const out: [number, number][] = [];
  for (const m of d.matchAll(/([MLAlh])([^MLAlhZ]*)/g)) {
    const n = numbers(m[2]!);
    if (m[1] === "A") out.push([n[5]!, n[6]!]);
    else if (m[1] === "M" || m[1] === "L") out.push([n[0]!, n[1]!]);
  }
  return out;
}

test("everything drawn is a number and stands on the sheet", () => {
  for (const c of cases) {
    const p = c.picture;
    if (!p) continue;
    assert.ok(Number.isFinite(p.h) && p.h > 60 && p.h < 1400, `${c.name}: ${p.h} high`);
    for (const m of p.marks) {
      assert.doesNotMatch(m.d, /NaN|Infinity|undefined/, c.name);
      for (const [x, y] of points(m.d))
        assert.ok(
          x >= -2 && x <= p.w + 2 && y >= -2 && y <= p.h + 2,
          `${c.name}: ${m.k} at ${x}, ${y} of ${p.w}, ${p.h}`,
        );
    }
  }
});

test("words are whole, stand on the sheet and never on each other", () => {
  for (const c of cases) {
    const p = c.picture;
    if (!p) continue;
    const boxes = p.words.map((w) => ({ w, b: boxOf(w) }));
    for (const { w, b } of boxes) {
      assert.doesNotMatch(w.s, /NaN|Infinity|undefined/, c.name);
      assert.ok(b[0] >= 0 && b[2] <= p.w && b[1] >= 0 && b[3] <= p.h, `${c.name}: '${w.s}' at ${b}`);
    }
    for (let i = 0; i < boxes.length; i++) {
      for (let j = i + 1; j < boxes.length; j++) {
        const [a, b] = [boxes[i]!.b, boxes[j]!.b];
        const over =
          Math.min(a[2], b[2]) - Math.max(a[0], b[0]) > 0.5 &&
          Math.min(a[3], b[3]) - Math.max(a[1], b[1]) > 0.5;
        assert.ok(!over, `${c.name}: '${boxes[i]!.w.s}' on '${boxes[j]!.w.s}'`);
      }
    }
  }
});

test("every drawing is told in words, with its numbers", () => {
  for (const c of cases) {
    if (!c.picture) continue;
    assert.match(c.picture.says, /\d/, c.name);
    assert.ok(c.picture.says.endsWith(".") && c.picture.says.length > 40, c.name);
    assert.doesNotMatch(c.picture.says, /undefined|NaN|  /, c.name);
  }
});

const near = (a: number, b: number, tol: number, what: string) =>
  assert.ok(Math.abs(a - b) <= tol, `${what}: ${a} is not ${b}`);
const draw = (name: string, pairs: Pairs): Picture =>
  pictureOf(described.worksheets.find((s) => s.name === name)!.drawing, answer(name, pairs))!;
const of = (p: Picture, k: string, i = 0): [number, number][] =>
  points(p.marks.filter((m) => m.k === k)[i]!.d);
const width = (pts: [number, number][]): number =>
  Math.max(...pts.map((q) => q[0])) - Math.min(...pts.map((q) => q[0]));
const height = (pts: [number, number][]): number =>
  Math.max(...pts.map((q) => q[1])) - Math.min(...pts.map((q) => q[1]));

test("reach: face, cutter and travel at one scale", () => {
  const p = draw("reach", { travel: "22", cross: "12", long: "14", wide: "5", cutter: "6" });
  const face = of(p, "d-metal");
  const travel = of(p, "d-ghost");
  near(width(face) / height(face), 14 / 5, 0.02, "face");
  near(width(travel) / width(face), 22 / 14, 0.02, "travel");
  near(height(travel) / height(face), 12 / 5, 0.02, "cross travel");
  const ring = p.marks.find((m) => m.k === "d-thin" && m.d.includes("A"))!;
  near(width(points(ring.d)) / width(face), 6 / 14, 0.02, "cutter");
});

test("triangle: sides and angles as they are", () => {
  const p = draw("triangle", { a: "3", b: "4" });
  const [a, b, c] = of(p, "d-line") as [[number, number], [number, number], [number, number]];
  const long = (q: [number, number], r: [number, number]) => Math.hypot(q[0] - r[0], q[1] - r[1]);
  near(long(b, c) / long(a, b), 3 / 5, 0.01, "a over c");
  near(long(a, c) / long(a, b), 4 / 5, 0.01, "b over c");
});

test("gauge blocks: as high as they are", () => {
  const p = draw("blocks", { height: "3.9762" });
  const stack = p.marks.filter((m) => m.k === "d-metal").map((m) => height(points(m.d)));
  near(Math.max(...stack) / stack.reduce((x, y) => x + y, 0), 3 / 3.9762, 0.005, "largest block");
});

test("sling: legs at their angle", () => {
  const p = draw("sling", { weight: "600 lb", legs: "2", angle: "60" });
  const leg = p.marks
    .filter((m) => m.k === "d-line")
    .map((m) => points(m.d))
    .filter((q) => q.length === 2 && height(q) > 60 && width(q) > 10)[0]!;
  near((Math.atan2(height(leg), width(leg)) * 180) / Math.PI, 60, 0.5, "angle");
});

test("fit: zones as high as their tolerances", () => {
  const a = answer("fit", { size: "25mm", fit: "H7/g6" }, "mm");
  const p = pictureOf("fit", a)!;
  const [hole, shaft] = [height(of(p, "d-metal", 0)), height(of(p, "d-metal", 1))];
  // ISO 286-1 table 1, over 18 to 30 mm: IT7 is 21 micrometres, IT6 13.
  near(hole / shaft, 21 / 13, 0.02, "IT7 over IT6");
});

test("a bolt circle's holes stand on its circle", () => {
  const p = draw("bolts", { n: "6", dia: "8" });
  const ring = p.marks.find((m) => m.k === "d-ghost")!;
  const R = width(points(ring.d)) / 2;
  const mid = points(ring.d)[0]![0] + R;
  const rings = p.marks.filter((m) => m.k === "d-void d-line").map((m) => points(m.d));
  assert.equal(rings.length, 6);
  for (const q of rings)
    near(Math.hypot((q[0]![0] + q[1]![0]) / 2 - mid, q[0]![1] - points(ring.d)[0]![1]), R, 0.5, "hole");
});

test("the same part typed in mm or in inches draws the same lines", () => {
  const inch = draw("foul", {
    boxes: "part, -7,7, -2.5,2.5, 0,6; stud, 8,8.6, 0,0.6, 0,5.5",
    heads: "body, 0.1,2, 5.5",
    x1: "-10",
    x2: "10",
    cut: "6",
  });
  const mm = pictureOf(
    "foul",
    answer(
      "foul",
      {
        boxes: "part, -177.8,177.8, -63.5,63.5, 0,152.4; stud, 203.2,218.44, 0,15.24, 0,139.7",
        heads: "body, 2.54,50.8, 139.7",
        x1: "-254",
        x2: "254",
        cut: "152.4",
      },
      "mm",
    ),
  )!;
  assert.deepEqual(
    mm.marks.map((m) => m.k),
    inch.marks.map((m) => m.k),
  );
  mm.marks.forEach((m, i) => {
    const [a, b] = [numbers(m.d), numbers(inch.marks[i]!.d)];
    a.forEach((n, k) => near(n, b[k]!, 0.35, m.k));
  });
});

test("a drawing without its numbers is left out, and a fault of ours is not hidden", () => {
  const empty: Answer = { worksheet: "reach", inputs: {}, results: {}, lines: [], cautions: [], sources: [] };
  for (const name of lateNames) assert.equal(pictureOf(name, empty), undefined, name);
  assert.equal(pictureOf("none such", empty), undefined);
});

test("enlargements are round numbers, sentences are broken at words, and units read", () => {
  assert.deepEqual([0.3, 1, 3, 6.4, 19, 640].map(times), [1, 1, 2, 5, 10, 500]);
  const lines = wrap("Up is towards the indicator and down is away from it", "d-name", 120);
  assert.ok(lines.length > 2 && lines.every((l) => wide(l, "d-name") <= 120));
  const r = new Reader({
    worksheet: "x",
    inputs: { a: { text: "3/4", value: 0.75, unit: "in" }, b: { text: "25mm", value: 25.4, unit: "mm" } },
    results: { t: { text: "", value: [["x", 2, 1.5]], unit: "", units: ["", "in", "thou"] } },
    lines: [],
    cautions: [],
    sources: [],
  });
  near(r.need("b"), 1, 1e-12, "mm");
  assert.equal(r.t("a"), "3/4 in");
  assert.equal(r.cells("t", 0, 1, 2), "2.0000 in, 1.5 thou");
  near(r.rows("t")[0]![2] as number, 0.0015, 1e-12, "thou");
});
