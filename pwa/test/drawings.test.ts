// The lazily imported drawings over live answers: the worksheets' examples in both unit systems,
// and the same with their numbers changed at random.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, test } from "node:test";
import type { Answer, Describe, Reply, Sheet } from "../src/engine/contract.gen";
import { isRefused } from "../src/engine/reply";
import { boxOf, type Picture, times, wrap, wide } from "../src/drawing/pad";
import { plans } from "../src/drawing/plans";
import { Reader } from "../src/drawing/read";
import { drawings, lazyNames } from "../src/drawing/registry";
import { pictureOf } from "../src/drawing/shown";

/** The calculations themselves, all asked in one run: requests in, a line of JSON for each out. */
const PROGRAM = `package main

import (
	"bufio"
	"os"
	"strings"

	"datumbook/calc/registry"
)

func main() {
	out := bufio.NewWriter(os.Stdout)
	defer out.Flush()
	in := bufio.NewScanner(os.Stdin)
	in.Buffer(nil, 1<<20)
	for in.Scan() {
		part := strings.Split(in.Text(), "\\x1d")
		switch part[0] {
		case "describe":
			out.Write(registry.Describe())
		case "example":
			s, _ := registry.Find(part[1])
			out.WriteString(registry.Pack(s.Example))
		default:
			json, _, _ := registry.Run(part[0], part[1], registry.Unpack(part[2]))
			out.Write(json)
		}
		out.WriteByte(10)
	}
}
`;

const dir = mkdtempSync(join(tmpdir(), "datumbook-drawings-"));
after(() => rmSync(dir, { recursive: true, force: true }));
const bin = join(dir, "answers");
writeFileSync(`${bin}.go`, PROGRAM);
execFileSync("go", ["build", "-o", bin, `${bin}.go`], { cwd: ".." });

const lines = (requests: string[]): string[] =>
  execFileSync(bin, { input: requests.join("\n"), encoding: "utf8", maxBuffer: 1 << 28 }).split("\n");

const described = JSON.parse(lines(["describe"])[0]!) as Describe;
const sheets = described.worksheets.filter((s) => s.drawing !== "" && s.drawing !== "hole");

type Pairs = Record<string, string>;

const request = (name: string, pairs: Pairs, unit: string): string =>
  [
    name,
    unit,
    Object.entries(pairs)
      .map((p) => p.join("\x1f"))
      .join("\x1e"),
  ].join("\x1d");

function answer(name: string, pairs: Pairs, unit = "in"): Answer {
  const reply = JSON.parse(lines([request(name, pairs, unit)])[0]!) as Reply;
  if (isRefused(reply)) throw new Error(`${name}: ${reply.error.message}`);
  return reply;
}

/** The worksheets' own examples. */
const examples = lines(sheets.map((s) => `example\x1d${s.name}`)).map((l): Pairs =>
  Object.fromEntries(
    l
      .split("\x1e")
      .filter(Boolean)
      .map((p) => p.split("\x1f") as [string, string]),
  ),
);

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

interface Wanted {
  sheet: Sheet;
  what: string;
  pairs: Pairs;
  unit: string;
  /** The inputs are known to make an answer and a drawing. */
  sure: boolean;
}

const wanted: Wanted[] = [];
const add = (sheet: Sheet, what: string, pairs: Pairs, sure: boolean, unit = "in"): number =>
  wanted.push({ sheet, what, pairs, unit, sure });
sheets.forEach((s, k) => {
  const own = examples[k]!;
  add(s, "example", own, true);
  add(s, "example in mm", own, true, "mm");
  const full = Object.fromEntries(s.inputs.filter((i) => i.example).map((i) => [i.key, i.example ?? ""]));
  add(s, "all filled in", full, false);
  for (let i = 0; i < 30; i++) {
    add(s, `shaken ${i}`, shaken(s, own), false);
    add(s, `all filled in, shaken ${i}`, shaken(s, full), false, "mm");
  }
  for (const i of s.inputs.filter((x) => x.kind === "choice")) {
    for (const o of i.options ?? [])
      add(s, `example with ${i.key} ${o.key}`, { ...own, [i.key]: o.key }, false);
  }
});

/** Corners that neither the examples nor chance come to. */
const rows = (n: number, row: (i: number) => string): string =>
  Array.from({ length: n }, (_, i) => row(i)).join("; ");
const corners: [string, Pairs][] = [
  ["bolts", { n: "60", dia: "8", x: "20", y: "-3" }],
  ["bolts", { n: "3", dia: "0.2" }],
  ["grid", { nx: "10", ny: "10", px: "0.3", py: "2" }],
  ["row", { n: "40", pitch: "0.5", angle: "37" }],
  ["triangle", { kind: "any", a: "10", b: "0.2", angc: "3" }],
  ["triangle", { kind: "any", a: "3", b: "4", angc: "150" }],
  ["arc", { radius: "3", angle: "300" }],
  ["arc", { chord: "10", rise: "0.001" }],
  ["sine", { angle: "0.01", bar: "5" }],
  ["sine", { angle: "89", bar: "10" }],
  ["taper", { from: "rate", rate: "0.6" }],
  ["taper", { from: "angle", angle: "118" }],
  ["divide", { divisions: "127" }],
  ["divide", { divisions: "3600" }],
  [
    "sling",
    { weight: "5000 lb", how: "lugs", lugs: "30, 20, 40; -30, 20, 40; -30, -20, 55; 30, -20, 55; 5, 0, 40" },
  ],
  ["sling", { weight: "5000 lb", how: "two", near: "10", far: "90", rise: "12" }],
  ["sling", { weight: "5000 lb", legs: "1", angle: "90" }],
  ["accept", { size: "2.0003", low: "1.9995", unsure: "0.0002" }],
  ["accept", { size: "5", high: "2.0005", unsure: "0.0002" }],
  ["repeat", { readings: rows(40, (i) => (0.0001 * (i % 7)).toFixed(4)).replaceAll(";", ",") }],
  ["repeat", { readings: "0.001, 0.001, 0.001" }],
  ["tram", { readings: "0, 0; 4, 0; 8, 0" }],
  ["tram", { readings: "0, 0; 6, 0.003; 12, 0" }],
  ["sweep", { swing: "10", readings: rows(12, (i) => `${i * 30}, ${(0.001 * Math.sin(i)).toFixed(5)}`) }],
  ["sweep", { swing: "10", right: "0", back: "0", left: "0", front: "0" }],
  [
    "centre",
    {
      touches: rows(
        40,
        (i) => `${(2 * Math.cos(i)).toFixed(4)}, ${(2 * Math.sin(i) + 0.001 * (i % 3)).toFixed(4)}`,
      ),
    },
  ],
  ["centre", { touches: "2, 0; 0, 2; -2, 0" }],
  [
    "foul",
    {
      boxes: rows(14, (i) => `a rather long name of box ${i}, ${i}, ${i + 0.5}, 0, 1, 0, ${i + 1}`),
      heads: "body, 0.1, 2, 5.5; column, 2, 40, 24, 30, 0, 30",
      x1: "-4",
      x2: "18",
      cut: "3",
    },
  ],
  [
    "weigh",
    {
      parts:
        "add, ball, 4, , , 0, 0, 3; add, rod, 1, , 12, 0, 0, 0, x; cut, box, 1, 1, 1; add, cone, 3, 1, 4, -6, 2, 0, y",
    },
  ],
  ["reach", { machine: "borer", travel: "60", cross: "40", long: "10", wide: "30", cutter: "4", aty: "20" }],
  ["reach", { travel: "10", cross: "4", long: "40", wide: "20", cutter: "2", atx: "100", table: "42" }],
  [
    "hold",
    {
      studs: "-4,5; 4,5; 0,1; 0,9; 3,3; 2,2",
      left: "-6",
      right: "6",
      bottom: "0",
      top: "10",
      weight: "900",
      cgy: "9",
      cgz: "12",
      force: "100",
      way: "out",
      thread: "1/2-13",
    },
  ],
  ["shim", { by: "feet", readings: "0, 0, 0.004; 10, 0, 0.002; 10, 8, 0; 0, 8, 0.001" }],
  ["shim", { by: "amounts", amounts: "0.0046, 0.012, 0, 0.03" }],
  ["heat", { part: "steel", gauge: "steel", reading: "20", tpart: "68", tgauge: "68" }],
  ["skew", { features: "0, 0, 1, 2; 8, 0, 1, 10", places: "4, 3; -6, 1.5" }],
  ["skew", { features: "0, 0, 1, 2; 8, 0, -7, 2.5" }],
  ["sure", { parts: rows(18, (i) => `a rather long name of part ${i}, step, 0.000${i + 1}`) }],
  ["dials", { holes: rows(9, (i) => `${(i * 1.3).toFixed(3)}, ${((i * i) / 7).toFixed(3)}`) }],
  ["blocks", { height: "0.1001" }],
  ["clear", { size: "#0" }],
  ["dowel", { size: "1/16" }],
  ["eyebolt", { size: "5/8", pull: "9000 lbf", angle: "45" }],
];
for (const [name, pairs] of corners) {
  const sheet = described.worksheets.find((s) => s.name === name)!;
  add(sheet, JSON.stringify(pairs).slice(0, 90), pairs, true);
}

interface Case {
  name: string;
  answer: Answer;
  picture: Picture | undefined;
  sure: boolean;
}

const replies = lines(wanted.map((w) => request(w.sheet.name, w.pairs, w.unit)));
const cases: Case[] = wanted.flatMap((w, i) => {
  const reply = JSON.parse(replies[i]!) as Reply;
  const name = `${w.sheet.name} ${w.what}`;
  if (!isRefused(reply))
    return { name, answer: reply, picture: pictureOf(w.sheet.drawing, reply), sure: w.sure };
  assert.ok(!w.sure, `${name}: ${reply.error.message}`);
  return [];
});

test("every drawing a worksheet names is there, and its name is known before it comes", () => {
  assert.deepEqual([...lazyNames].sort(), Object.keys(plans).sort());
  for (const s of described.worksheets)
    if (s.drawing) assert.ok(drawings[s.drawing], `${s.name}: ${s.drawing}`);
});

/** Worksheets whose drawing is of what is withheld from a refused answer. */
const withheld = ["middle", "centre", "skew", "bolts", "row", "grid", "pairs", "heat", "divide"];

test("every worksheet's example has its drawing", () => {
  assert.ok(cases.length > 20 * sheets.length, `only ${cases.length} answers`);
  const none = (c: Case): boolean => c.answer.mark === "stop" && withheld.includes(c.answer.worksheet);
  for (const c of cases) if (c.sure && !none(c)) assert.ok(c.picture, c.name);
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
      assert.ok(b[0] >= 0 && b[2] <= p.w && b[1] >= 0 && b[3] <= p.h, `${c.name}: '${w.s}' at ${b.join()}`);
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
    assert.ok(c.picture.says.endsWith(".") && c.picture.says.length > 30, c.name);
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
  const empty: Answer = {
    worksheet: "reach",
    inputs: {},
    results: {},
    lines: [],
    mark: "good",
    cautions: [],
    sources: [],
  };
  for (const name of lazyNames) assert.equal(pictureOf(name, empty), undefined, name);
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
    mark: "good",
    cautions: [],
    sources: [],
  });
  near(r.need("b"), 1, 1e-12, "mm");
  assert.equal(r.t("a"), "3/4 in");
  assert.equal(r.cells("t", 0, 1, 2), "2.0000 in, 1.5 thou");
  near(r.rows("t")[0]![2] as number, 0.0015, 1e-12, "thou");
});
