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
import { askBox, bareOf, boxOf, boxSize, type Picture, times, wrap, wide } from "../src/drawing/pad";
import { plans } from "../src/drawing/plans";
import { Reader } from "../src/drawing/read";
import { pictureOf, toldOf, workedOut } from "../src/drawing/shown";
import { sceneOf } from "../src/jobbook/scene";
import { pairsOf } from "../src/page/ways";

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
const sheets = described.worksheets.filter((s) => s.drawing !== "");

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

/** Every length changed by up to half, as a whole number and a fraction. */
function mixed(s: Sheet, pairs: Pairs): Pairs {
  const out: Pairs = { ...pairs };
  for (const [k, v] of Object.entries(pairs)) {
    const f = s.inputs.find((i) => i.key === k)!;
    const size = Number(v.replace(/ ?in$/, ""));
    if (f.kind !== "length" || f.units?.in !== "in" || !(size > 0)) continue;
    const part = Math.max(1, Math.round(size * (0.5 + random()) * 64));
    const whole = Math.floor(part / 64);
    const fraction = part % 64 ? `${part % 64}/64` : "";
    out[k] = whole && fraction ? `${whole}-${fraction}` : fraction || `${whole}`;
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
    add(s, `in fractions ${i}`, mixed(s, i % 2 ? full : own), false);
  }
  for (const i of s.inputs.filter((x) => x.kind === "choice")) {
    for (const o of i.options ?? [])
      add(s, `example with ${i.key} ${o.key}`, { ...own, [i.key]: o.key }, false);
  }
});

// Ways that have typical inputs of their own.
for (const page of described.pages)
  for (const way of page.ways) {
    if (!way.like && !way.sets) continue;
    const s = described.worksheets.find((x) => x.name === way.sheet)!;
    const own = Object.fromEntries([
      ...(way.like ? pairsOf(way.like) : (s.sample as [string, string][])),
      ...pairsOf(way.sets),
    ]);
    add(s, `like ${way.sets}`, own, true);
    add(s, `like ${way.sets} in mm`, own, true, "mm");
    for (let i = 0; i < 30; i++) add(s, `like ${way.sets}, shaken ${i}`, shaken(s, own), false);
  }

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
  ["blocks", { height: "3.9762", wear: ".05" }],
  ["blocks", { height: ".075" }],
  ["sine", { stack: ".1" }],
  ["sine", { angle: "45", zero: "1", bar: "10" }],
  ["triangle", { kind: "any", a: "3", b: "4", anga: "40" }],
  ["triangle", { kind: "any", b: "1", anga: "178", angb: "1" }],
  ["arc", { radius: "2", chord: "4" }],
  ["taper", { big: "2", small: "0.1", length: "0.2" }],
  ["taper", { rate: "3", overall: "10" }],
  ["taper", { pin: ".25", low: "2.3", high: "1.2", blocks: "3" }],
  ["divide", { divisions: "7", plates: "mine", mine: "24", ratio: "1" }],
  ["divide", { angle: "359" }],
  ["heat", { reading: "20", tpart: "20 C" }],
  ["accept", { size: "2.01", unsure: "0.02", low: "1.9995", high: "2.0005" }],
  ["accept", { size: "2.0006", unsure: "0.0002", low: "1.9995", high: "2.0005", rule: "out" }],
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

test("every drawing a worksheet names is there", () => {
  for (const s of described.worksheets) if (s.drawing) assert.ok(plans[s.drawing], `${s.name}: ${s.drawing}`);
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

/** No word of a picture runs off it, or into another. */
function whole(p: Picture, name: string): void {
  const boxes = p.words.map((w) => ({ w, b: boxOf(w) }));
  for (const { w, b } of boxes) {
    assert.doesNotMatch(w.s, /NaN|Infinity|undefined/, name);
    assert.ok(b[0] >= 0 && b[2] <= p.w && b[1] >= 0 && b[3] <= p.h, `${name}: '${w.s}' at ${b.join()}`);
  }
  for (let i = 0; i < boxes.length; i++) {
    for (let j = i + 1; j < boxes.length; j++) {
      const [a, b] = [boxes[i]!.b, boxes[j]!.b];
      const over =
        Math.min(a[2], b[2]) - Math.max(a[0], b[0]) > 0.5 &&
        Math.min(a[3], b[3]) - Math.max(a[1], b[1]) > 0.5;
      assert.ok(!over, `${name}: '${boxes[i]!.w.s}' on '${boxes[j]!.w.s}'`);
    }
  }
}

test("words are whole, stand on the sheet and never on each other", () => {
  for (const c of cases) if (c.picture) whole(c.picture, c.name);
});

/** The highest drawing that leaves room for headline, choices and keys on one screen. */
const HIGHEST = 336;

test("boxes stand on the drawing, apart from each other and from words", () => {
  let forms = 0;
  for (const c of cases) {
    const faint = pictureOf(
      described.worksheets.find((s) => s.name === c.answer.worksheet)!.drawing,
      c.answer,
      true,
    );
    for (const [what, p] of [
      ["", c.picture],
      [" faint", faint],
    ] as const) {
      if (!p || p.asks.length + p.spots.length === 0) continue;
      forms++;
      const name = c.name + what;
      const page = described.pages.find((g) => g.ways.some((w) => w.sheet === c.answer.worksheet))!;
      const inputs = page.ways.flatMap((w) =>
        described.worksheets.find((s) => s.name === w.sheet)!.inputs.map((i) => i.key),
      );
      assert.ok(p.h <= HIGHEST, `${name}: ${p.h} high`);
      const boxes = p.asks.map((a) => ({ key: a.key, b: askBox(a.x, a.y, a.w) }));
      for (const s of p.spots)
        assert.ok(s.x >= 0 && s.x <= p.w && s.y >= 0 && s.y <= p.h, `${name}: ${s.key} ${s.row}`);
      for (const { key, b } of boxes) {
        assert.ok(inputs.includes(key), `${name}: ${key} is no input`);
        assert.ok(b[0] >= 0 && b[2] <= p.w && b[1] >= 0 && b[3] <= p.h, `${name}: ${key} at ${b.join()}`);
      }
      const words = p.words.map((w) => ({ key: `'${w.s}'`, b: boxOf(w) }));
      boxes.forEach((one, i) => {
        for (const other of [...boxes.slice(i + 1), ...words]) {
          const over =
            Math.min(one.b[2], other.b[2]) - Math.max(one.b[0], other.b[0]) > 0.5 &&
            Math.min(one.b[3], other.b[3]) - Math.max(one.b[1], other.b[1]) > 0.5;
          assert.ok(!over, `${name}: the box of ${one.key} on ${other.key}`);
        }
      });
    }
  }
  assert.ok(forms > 0);
});

test("where no boxes stand over a drawing its numbers are part of it", () => {
  for (const c of cases) {
    const sheet = described.worksheets.find((s) => s.name === c.answer.worksheet)!;
    const told = toldOf(sheet, c.answer);
    assert.equal(!told, !c.picture, c.name);
    if (!told) continue;
    assert.deepEqual(told.asks, [], c.name);
    const leads = (p: Picture) => p.marks.filter((m) => m.k === "d-lead");
    for (const m of leads(told)) {
      // A leader leads to a figure: it ends on the ground of one.
      const [x, y] = points(m.d).at(-1)!;
      const ground = told.marks
        .filter((g) => g.k === "d-ground")
        .some((g) => {
          const q = points(g.d);
          const [xs, ys] = [q.map((a) => a[0]), q.map((a) => a[1])];
          return x >= Math.min(...xs) && x <= Math.max(...xs) && y >= Math.min(...ys) && y <= Math.max(...ys);
        });
      assert.ok(ground, `${c.name}: a bare leader of ${m.of} to ${x}, ${y}`);
    }
    for (const a of c.picture!.asks) {
      const given = c.answer.inputs[a.key];
      const rules = Object.entries(a.when ?? {}).every(([k, v]) => (c.answer.inputs[k]?.text ?? "") === v);
      const f = sheet.inputs.find((i) => i.key === a.key);
      if (!f || !given?.text || !rules || f.options || f.words || f.kind === "flag") continue;
      if (given.text === f.default && a.worked) continue;
      assert.ok(
        told.words.some((w) => w.s === bareOf(given.text)),
        `${c.name}: ${a.key} ${given.text} is not told`,
      );
    }
    whole(told, c.name);
  }
  const told = (name: string, pairs: Pairs): string[] =>
    toldOf(
      described.worksheets.find((s) => s.name === name)!,
      answer(name, pairs),
    )!.words.map((w) => w.s);
  const reach = told("reach", { travel: "30", cross: "12", long: "17", wide: "4", cutter: "5" });
  for (const s of ["travel along", "30", "12", "face long", "17", "cutter", "5"])
    assert.ok(reach.includes(s), s);
  assert.ok(!reach.includes("stands at"), "of what is not known there is nothing");
  assert.ok(told("tram", { readings: "-6,0; -2,-2; 2,-3; 6,-6" }).includes("12"));
});

test("results in bold are those of the worksheet", () => {
  for (const c of cases) {
    const page = described.pages.find((g) => g.ways.some((w) => w.sheet === c.answer.worksheet))!;
    const way = page.ways.find((w) => w.sheet === c.answer.worksheet)!;
    if (!way.bold || !c.picture || c.picture.asks.length + c.picture.spots.length === 0) continue;
    const all = new Set(
      Object.values(c.answer.results).flatMap((r) => [bareOf(r.shown ?? r.text), bareOf(r.text)]),
    );
    for (const w of c.picture.words) {
      if (w.k !== "d-size" || !w.own) continue;
      assert.ok(all.has(w.own), `${c.name}: '${w.own}' is no result`);
    }
  }
});

test("no figure is cut, on a drawing or in a box", () => {
  for (const c of cases) {
    if (!c.picture) continue;
    const sheet = described.worksheets.find((s) => s.name === c.answer.worksheet)!;
    for (const w of c.picture.words)
      if (w.own || w.k !== "d-name") assert.doesNotMatch(w.s, /…/, `${c.name}: '${w.s}'`);
    for (const a of c.picture.asks) {
      const given = c.answer.inputs[a.key]?.text ?? "";
      const shown = a.worked ? workedOut(sheet, c.answer, a.worked) : "";
      for (const text of [shown, typeof c.answer.inputs[a.key]?.value === "number" ? bareOf(given) : ""])
        assert.ok(
          boxSize(text, a.w) >= (text.includes(" ") ? 9 : 11),
          `${c.name}: '${text}' in the box of ${a.key}, ${a.w} wide`,
        );
    }
  }
  const tap = draw("hole", { thread: "1/2-13", stock: "1-3/4", depth: "", tap: "bottoming" });
  assert.equal(tap.words.find((w) => w.s === "1-13/32")?.k, "d-small");
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

test("tram: needle, arrow and words are of one place, and Start slopes as the worksheet does", () => {
  const out = (readings: string, pairs: Pairs = {}) => draw("tram", { readings, ...pairs });
  for (const [readings, more] of [
    ["-6,0; -2,-.002; 2,-.003; 6,-.006", {}],
    ["-6,0; 0,.002; 6,.005", {}],
    ["-6,0; 6,.005", { side: "column" }],
    ["-6,0; 6,-.005", { pivot: "last" }],
  ] as const) {
    const p = out(readings, more);
    const line = of(p, "d-mark");
    const end = "pivot" in more ? line[0]! : line.at(-1)!;
    const stylus = p.marks.filter((m) => m.k === "d-line").map((m) => points(m.d).at(-1)!);
    assert.ok(
      stylus.some((q) => Math.hypot(q[0] - end[0], q[1] - end[1]) < 0.2),
      `${readings}: the stylus is on the end that is tapped`,
    );
    const arrow = points(p.marks.find((m) => m.k === "d-push")!.d);
    assert.ok(Math.abs(arrow[0]![0] - end[0]) <= 12, `${readings}: the arrow is at that end`);
  }
  const line = of(out("-6,0; 6,-.006"), "d-mark");
  const { dye } = sceneOf({ down: "-z", reads: [0, -6] });
  const [left, right] = points(dye);
  assert.equal(Math.sign(right![1] - left![1]), Math.sign(line.at(-1)![1] - line[0]![1]));
});

test("reach: face, cutter and travel at one scale", () => {
  const p = draw("reach", { travel: "22", cross: "12", long: "14", wide: "5", cutter: "6" });
  const face = of(p, "d-void d-line");
  const travel = of(p, "d-ghost");
  near(width(face) / height(face), 14 / 5, 0.02, "face");
  near(width(travel) / width(face), 22 / 14, 0.02, "travel");
  near(height(travel) / height(face), 12 / 5, 0.02, "cross travel");
  const ring = p.marks.find((m) => m.k === "d-way" && m.d.includes("A"))!;
  near(width(points(ring.d)) / width(face), 6 / 14, 0.02, "cutter");
  // What is needed of the travel is filled, what is left at each end stands beside it.
  near(width(of(p, "d-fill")) / width(of(p, "d-tool")), 20.5 / 22, 0.01, "need over travel");
  assert.deepEqual(
    p.words.filter((w) => w.own).map((w) => w.s),
    ["clear .75", "clear .75"],
  );
});

test("reach: what is short is drawn at the end where it is", () => {
  const own = { travel: "22", cross: "12", long: "14", wide: "5", cutter: "6", throat: "16", rear: "4" };
  const bad = (pairs: Pairs): string[] =>
    draw("reach", { ...own, ...pairs })
      .marks.filter((m) => m.k === "d-badline")
      .map((m) => (m.d.includes("A") ? "cutter" : "travel"));
  assert.deepEqual(bad({}), []);
  assert.deepEqual(bad({ travel: "18" }), ["cutter", "cutter", "travel", "travel"]);
  assert.deepEqual(bad({ atx: "3", aty: "0" }), ["cutter", "travel"]);
  assert.equal(bad({ throat: "5" }).length, 1, "the back of the part in the column");
});

test("reach: an end is touched to say that it need not be cleared", () => {
  const own = { travel: "22", cross: "12", long: "14", wide: "5", cutter: "6" };
  const ways = (ends: string): string[] => draw("reach", { ...own, ends }).areas.map((a) => a.value);
  assert.deepEqual(ways("both"), ["right", "left"]);
  assert.deepEqual(ways("left"), ["right", "both"]);
  assert.deepEqual(ways("right"), ["both", "left"]);
});

test("an edge, a pair of edges and a part's edge are touched on the side of the finder", () => {
  const at = (p: Picture, value: string): [number, number] => {
    const { box } = p.areas.find((a) => a.value === value)!;
    return [(box[0] + box[2]) / 2, (box[1] + box[3]) / 2];
  };
  const edge = draw("edge", { side: "left" });
  assert.ok(at(edge, "left")[0] < at(edge, "back")[0] && at(edge, "back")[0] < at(edge, "right")[0]);
  assert.ok(at(edge, "back")[1] < at(edge, "left")[1] && at(edge, "left")[1] < at(edge, "front")[1]);
  const pair = (of: string): string[] => draw("middle", { a: "0", b: "4", of }).areas.map((a) => a.value);
  // From the left of the first edge to the right of the second.
  assert.deepEqual(pair("outside"), ["outside", "high", "low", "outside"]);
  assert.deepEqual(pair("inside"), ["low", "inside", "inside", "high"]);
  const askew = draw("skew", { features: ",,1,2; ,,9,2.008" });
  assert.ok(at(askew, "back")[1] < at(askew, "front")[1]);
});

test("a place on the drawing is that of the row as it was typed", () => {
  for (const [name, readings] of [
    ["tram", "12,2; 0,0; 6,1"],
    ["bar", "12,2,1; 0,0,0; 6,1,1"],
    ["square", "12,2,1; 0,0,0; 6,1,1"],
  ] as const) {
    const spots = draw(name, { readings }).spots.filter((s) => s.key === "readings");
    assert.equal(spots.length, 3, name);
    const [far, near, middle] = [0, 1, 2].map((row) => spots.find((s) => s.row === row)!);
    const along = (s: { x: number; y: number }) => (name === "square" ? -s.y : s.x);
    assert.ok(along(near!) < along(middle!) && along(middle!) < along(far!), name);
  }
});

test("the touch and the hole that do not belong are what is wrong", () => {
  const round = "2.001,0; 0,1.999; -2.0005,0; 0,-2; 1.4142,1.4142; 1.38,-1.38; -1.4142,1.4142";
  const bore = draw("centre", { touches: round });
  const spots = bore.spots.filter((s) => s.key === "touches");
  assert.equal(spots.length, 7);
  const wrong = bore.marks.filter((m) => m.k === "d-badline").at(-1)!;
  near(points(wrong.d)[0]![0] + 6, spots[5]!.x, 1, "touch 6");
  const hole = draw("skew", { features: "0,0,1,2; 8,0,9,2; 8,6,9,8; 0,6,1,8.5" });
  const rings = hole.marks.filter((m) => m.k === "d-badline");
  assert.equal(rings.length, 1);
  near(points(rings[0]!.d)[0]![0] + 7, hole.spots[3]!.x, 1, "hole 4");
});

test("clean-up: the rough stands out as far as its stock, and what starves is red", () => {
  const two = "left, face, -x, 0, 0, 0; right, face, +x, 10, 0, 0";
  const laid = (touches: string) => draw("cleanup", { features: two, free: "x", touches });
  const good = laid("left, -.1, 1, 0; left, -.1, 5, 0; right, 10.2, 1, 0; right, 10.2, 5, 0");
  assert.equal(good.marks.filter((m) => m.k === "d-badline").length, 0);
  const bad = laid("left, .03, 1, 0; left, .03, 5, 0; right, 9.97, 1, 0; right, 9.97, 5, 0");
  assert.ok(bad.marks.filter((m) => m.k === "d-badline").length >= 2);
});

test("a fixture's face shows the part where it goes, and where to drill for it", () => {
  const pair = "hole, 0, 0, 5/8-11, 11/16; hole, 6, 0, 5/8-11, 11/16";
  const taken = draw("match", {
    part: pair,
    fixtures: "F1, , 12, 9, 1-1/2",
    places: "F1, , tapped, 3, 2, , 5/8-11; F1, , tapped, 9, 2, , 5/8-11",
  });
  assert.equal(taken.marks.filter((m) => m.k === "d-fill").length, 2);
  assert.deepEqual(
    taken.spots.map((s) => s.row),
    [0, 1],
  );
  const drill = draw("match", { part: pair, fixtures: "F1, , 12, 9, 1-1/2" });
  const rings = drill.marks.filter((m) => m.k === "d-void d-mark").map((m) => points(m.d)[0]!);
  const face = of(drill, "d-metal");
  near(
    Math.hypot(rings[1]![0] - rings[0]![0], rings[1]![1] - rings[0]![1]) / width(face),
    6 / 12,
    0.01,
    "6 of 12",
  );
  const none = draw("match", { part: pair, fixtures: "F1, , 5, 4, 1/4" });
  assert.equal(none.marks.filter((m) => m.k === "d-badline").length, 3, "the part and its two holes");
});

test("daylight: what is missing is drawn between the tool and what stands under it", () => {
  const own = { daylight: "19", knee: "16", tool: "4.5", under: "2", part: "6", depth: "1.2", over: ".75" };
  const p = draw("daylight", own);
  assert.equal(p.marks.filter((m) => m.k === "d-badline").length, 0);
  const metal = p.marks.filter((m) => m.k === "d-metal").map((m) => height(points(m.d)));
  const fixture = p.marks.filter((m) => m.k === "d-tool").map((m) => height(points(m.d)))[0]!;
  near(metal[1]! / fixture, 6 / 2, 0.02, "part over fixture");
  const short = draw("daylight", { ...own, part: "12" });
  const bad = short.marks.filter((m) => m.k === "d-badline").map((m) => height(points(m.d)))[0]!;
  const tall = short.marks.filter((m) => m.k === "d-metal").map((m) => height(points(m.d)))[1]!;
  near(bad / tall, 0.75 / 12, 0.01, ".75 short beside 12");
});

test("triangle: sides and angles as they are", () => {
  const p = draw("triangle", { a: "3", b: "4" });
  const [a, b, c] = of(p, "d-line") as [[number, number], [number, number], [number, number]];
  const long = (q: [number, number], r: [number, number]) => Math.hypot(q[0] - r[0], q[1] - r[1]);
  near(long(b, c) / long(a, b), 3 / 5, 0.01, "a over c");
  near(long(a, c) / long(a, b), 4 / 5, 0.01, "b over c");
});

test("a part typed besides those that suffice pushes one out", () => {
  const when = (name: string, pairs: Pairs, key: string) =>
    draw(name, pairs).asks.find((a) => a.key === key)!.when;
  const right = { a: "3", b: "4" };
  assert.deepEqual(when("triangle", right, "c"), { b: "" });
  assert.deepEqual(when("triangle", right, "anga"), { b: "" });
  assert.deepEqual(when("triangle", right, "a"), {});
  assert.deepEqual(when("triangle", right, "angc"), { kind: "any" });
  assert.deepEqual(when("triangle", { a: "3", anga: "30" }, "b"), { anga: "" });
  const any = { kind: "any", a: "3", b: "4", angc: "50" };
  assert.deepEqual(when("triangle", any, "c"), { angc: "" });
  assert.deepEqual(when("triangle", any, "anga"), { angc: "" });
  assert.deepEqual(when("arc", { chord: "4", rise: ".5" }, "radius"), { rise: "" });
  assert.deepEqual(when("arc", { radius: "4", angle: "50" }, "rise"), { angle: "" });
  const ends = { big: ".7", small: ".6", length: "2" };
  assert.deepEqual(when("taper", ends, "rate"), { ratio: "", angle: "", small: "" });
  assert.deepEqual(when("taper", ends, "big"), {});
  assert.deepEqual(when("taper", { big: ".7", length: "2", rate: ".6" }, "small"), {
    ...{ rate: "", ratio: "", angle: "" },
  });
  assert.deepEqual(when("sine", { angle: "12" }, "stack"), { angle: "" });
  assert.deepEqual(when("divide", { divisions: "7" }, "angle"), { divisions: "" });
});

test("a taper's drawing is that of what was measured", () => {
  const balls = draw("taper", { ball1: "1", ball2: ".75", top1: ".2", top2: "1.8" });
  assert.deepEqual(balls.asks.map((a) => a.key).sort(), ["ball1", "ball2", "top1", "top2"]);
  const rings = balls.marks.filter((m) => m.of === "ball1" || m.of === "ball2").map((m) => points(m.d));
  near(width(rings[0]!) / width(rings[1]!), 1 / 0.75, 0.01, "balls");
  const pins = draw("taper", { pin: ".25", low: "1.2", high: "1.3", blocks: "1" });
  assert.deepEqual(pins.asks.map((a) => a.key).sort(), ["blocks", "high", "low", "pin"]);
  const over = (key: string) =>
    width(of({ ...pins, marks: pins.marks.filter((m) => m.of === key) }, "d-dim"));
  near(over("high") / over("low"), 1.3 / 1.2, 0.01, "over pins");
});

test("what of the doubt lies past a limit is what is wrong", () => {
  const p = draw("accept", { size: "1.2504", unsure: ".0002", low: "1.2495", high: "1.2505" });
  const bar = p.marks.find((m) => m.k === "d-mark")!;
  near(width(of(p, "d-badline")) / width(points(bar.d)), 1 / 4, 0.01, ".0001 of .0004");
  assert.equal(
    draw("accept", { size: "1.25", unsure: ".0002", low: "1.2495" }).marks.filter((m) => m.k === "d-badline")
      .length,
    0,
  );
});

test("causes stand from the longest, each leads to its row", () => {
  const p = draw("sure", { parts: "a, std, .001 in; b, std, .003 in; c, std, .002 in" });
  assert.deepEqual(
    p.spots.map((s) => s.row),
    [1, 2, 0],
  );
  const bars = p.marks.filter((m) => m.k === "d-fill").map((m) => width(points(m.d)) - 4);
  near(bars[2]! / bars[0]!, 1 / 3, 0.01, "a over b");
});

const whens = (p: Picture, key: string) => p.asks.filter((a) => a.key === key).map((a) => [a.worked, a.when]);

test("hole: every depth is a box, and the one typed in rules", () => {
  const p = draw("hole", { thread: "1/2-13", stock: "1.25", depth: ".799" });
  assert.deepEqual(whens(p, "depth"), [
    ["full", { to: "thread" }],
    ["shoulder", { to: "shoulder" }],
    ["tip", { to: "point" }],
  ]);
  const at = p.asks.filter((a) => a.key === "depth" || a.key === "stock").map((a) => a.y);
  assert.deepEqual(
    [...at].sort((a, b) => a - b),
    at,
    "boxes stand as deep as what they are of",
  );
  const bad = (pairs: Pairs) => draw("hole", pairs).marks.filter((m) => m.k === "d-badline").length;
  assert.equal(bad({ thread: "1/2-13", stock: "1.25", depth: ".799" }), 0);
  assert.equal(bad({ thread: "3/8-16", stock: "7/8", depth: ".6" }), 1, "the point below the plate");
  assert.equal(bad({ thread: "5/8-11", stock: "2", depth: ".75", drill: "1/4" }), 2, "both walls");
  const through = draw("hole", { thread: "3/8-16", stock: "7/8", depth: "through" });
  assert.deepEqual(through.asks.map((a) => a.key).sort(), ["csk", "depth", "drill", "stock", "thread"]);
});

test("torque: pull or nut torque rules, and what gives is drawn where it gives", () => {
  const stud: Pairs = { thread: "5/8-11", grade: "sae5", length: "1", metal: "mild" };
  const p = draw("torque", stud);
  assert.deepEqual(whens(p, "torque"), [["torque", { tension: "" }]]);
  assert.deepEqual(whens(p, "tension"), [["preload", { torque: "" }]]);
  const bad = (pairs: Pairs) => draw("torque", pairs).marks.filter((m) => m.k === "d-badline");
  assert.equal(bad(stud).length, 0);
  assert.equal(bad({ ...stud, torque: "150" }).length, 2, "the stud's waist");
  const stripped = bad({ ...stud, metal: "iron", length: ".4", torque: "60" });
  assert.ok(stripped.length === 2 && stripped.every((m) => m.of === "length"), "the flanks");
});

test("room: what of the bolts does not go in lies outside the holes", () => {
  const two = { bolt: "1/2", hole: "9/16", here: "8" };
  const bad = (there: string) =>
    draw("room", { ...two, there }).marks.filter((m) => m.k === "d-badline").length;
  assert.equal(bad("8.04"), 0);
  assert.equal(bad("8.071"), 2);
  assert.deepEqual(draw("room", two).none, ["hole2"]);
  assert.deepEqual(draw("room", { ...two, how: "floating" }).none, []);
});

test("patterns: gap or length rules, a hole is touched, and holes that meet are seen", () => {
  assert.deepEqual(whens(draw("row", { n: "5", over: "12" }), "pitch"), [["pitch", { over: "" }]]);
  const p = draw("bolts", { n: "6", dia: "8" });
  assert.deepEqual(
    p.areas.map((a) => [a.key, a.value]),
    [1, 2, 3, 4, 5, 6].map((n) => ["at", `${n}`]),
  );
  const meet = draw("bolts", { n: "6", dia: "2", hole: "1.1" });
  assert.equal(meet.marks.filter((m) => m.k === "d-badline").length, 2);
  // Where the answer gives no coordinates the holes stand where they were asked for.
  const [inch, refused] = [
    draw("grid", { nx: "3", ny: "2", px: "2", py: "3" }),
    { nx: "3", ny: "2", px: "2", py: "3" },
  ];
  const holes = (q: Picture) =>
    q.marks.filter((m) => m.d.includes("A") && !m.lining).map((m) => points(m.d)[0]![1]);
  assert.equal(holes(draw("grid", { ...refused, hole: "2.5" })).length, holes(inch).length);
  const dials = draw("dials", { holes: "0, 3.25; -3.0909, 1.0043; 1.9103, -2.6293", at: "2" });
  assert.deepEqual(
    dials.areas.map((a) => a.value),
    ["2", "3"],
  );
  assert.ok(dials.words.some((w) => w.s === "X 16 below 0, .109"));
});

test("patterns: the hole that is touched says where it is, and nothing lies over another", () => {
  for (const [name, pairs, n] of [
    ["bolts", { n: "6", dia: "6" }, 6],
    ["bolts", { n: "24", dia: "6" }, 24],
    ["row", { n: "6", pitch: "2.5" }, 6],
    ["row", { n: "12", pitch: "2.5", angle: "30" }, 12],
    ["grid", { nx: "4", ny: "3", px: "1.5", py: "2" }, 12],
    ["grid", { nx: "5", ny: "3", px: "1", py: "1" }, 15],
  ] as const) {
    const free = draw(name, pairs);
    // All holes have their numbers, none under a box or another label.
    for (let i = 1; i <= n; i++)
      assert.ok(
        free.words.some((w) => w.s === `${i}`),
        `${name} of ${n}: number ${i}`,
      );
    for (let i = 1; i <= n; i++) {
      const p = draw(name, { ...pairs, at: `${i}` });
      const bold = p.words.filter((w) => w.k === "d-small" && /[XY] -?[\d.]/.test(w.s));
      assert.match(bold.map((w) => w.s).join(" "), /^X -?[\d.]+ Y -?[\d.]+$/, `${name} of ${n}: hole ${i}`);
      whole(p, `${name} ${i}`);
      const lit = p.areas.find((a) => a.value === `${i}`)?.box;
      const strange = p.words.filter((w) => {
        const b = boxOf(w);
        return lit && w.k === "d-num" && b[2] > lit[0] && b[0] < lit[2] && b[3] > lit[1] && b[1] < lit[3];
      });
      assert.deepEqual(strange, [], `${name}: in the light of hole ${i}`);
    }
    for (const q of free.asks)
      for (const a of free.areas) {
        const [hx, hy] = [(a.box[0] + a.box[2]) / 2, (a.box[1] + a.box[3]) / 2];
        const b = askBox(q.x, q.y, q.w);
        const under = hx > b[0] - 7 && hx < b[2] + 7 && hy > b[1] - 7 && hy < b[3] + 7;
        assert.ok(!under, `${name} of ${n}: hole ${a.value} under ${q.key}`);
      }
  }
  const six = draw("bolts", { n: "6", dia: "6" }).words.filter((w) => w.k === "d-num");
  assert.equal(six.length, 12, "each of six says its X and Y");
});

const wrong = (p: Picture) => p.marks.filter((m) => m.k === "d-badline" || m.k.endsWith("-bad"));

test("hold: studs are touched, both views line up, and what lets go is drawn where it goes", () => {
  const joint = { thread: "5/8-11", grade: "sae5", into: "nut", weight: "180", cgz: "3.5" };
  const on = { ...joint, studs: "-4,4; 4,4", width: "12", height: "8" };
  const p = draw("hold", { ...on, force: "20", ledge: "yes" });
  assert.deepEqual(
    p.spots.map((s) => [s.key, s.row]),
    [
      ["studs", 0],
      ["studs", 1],
    ],
  );
  // The stud's place on the face, and the axis of it from the side.
  const axis = points(p.marks.find((m) => m.k === "d-axis")!.d)[0]![1];
  near(p.spots[0]!.y, axis, 0.1, "as high in both views");
  const face = p.marks.filter((m) => m.k === "d-metal").map((m) => points(m.d));
  const bearing = face.find((q) => Math.abs(width(q) / height(q) - 12 / 8) < 0.02);
  assert.ok(bearing, "the bearing face is to scale");
  assert.equal(wrong(p).length, 0);
  // The weakest link of the chain comes first.
  const { results } = answer("hold", { ...on, force: "20", ledge: "yes" });
  const links = ["slip", "turn", "tip"].flatMap((k) => (results[k] ? [Number(results[k].value)] : []));
  assert.deepEqual(
    p.words.filter((w) => w.own).map((w) => Number(w.own)),
    links.sort((x, y) => x - y).map((n) => Math.floor(n * 2) / 2),
  );
  const turns = draw("hold", { ...on, force: "900" });
  assert.ok(
    wrong(turns).some((m) => m.d.includes("A")),
    "a bent arrow about the studs",
  );
  const tips = draw("hold", {
    ...on,
    studs: "-4,1; 4,1",
    force: "900",
    ledge: "yes",
    sides: "yes",
    way: "out",
  });
  const edge = wrong(tips)
    .map((m) => points(m.d))
    .find((q) => q.length === 2)!;
  near(edge[0]![1], edge[1]![1], 0.1, "a level edge");
  const strips = wrong(draw("hold", { ...on, into: "length", depth: ".4", torque: "150" }));
  assert.ok(strips.length > 0 && !strips.some((m) => m.lining), "the thread and its nut, not the face");
  assert.deepEqual(whens(p, "torque"), [["torque", undefined]]);
});

test("strap: lever to scale, and a bar that bends is bent", () => {
  const on = {
    clamps: "2",
    heel: "3",
    nose: "2",
    thread: "5/8-11",
    grade: "sae5",
    into: "nut",
    force: "150",
  };
  const p = draw("strap", { ...on, wide: "2", thick: "1-1/4" });
  const [heel, nose] = p.marks
    .filter((m) => m.k === "d-dim" && /heel|nose/.test(m.of ?? ""))
    .map((m) => width(points(m.d)));
  near(heel! / nose!, 3 / 2, 0.03, "heel over nose");
  const bent = wrong(draw("strap", { ...on, wide: "1.5", thick: "1/2", torque: "80" }));
  assert.ok(
    bent.some((m) => m.d.includes("Q")),
    "the bar",
  );
  const slid = wrong(draw("strap", { ...on, wide: "2", thick: "1-1/4", torque: "60", force: "2000" }));
  assert.ok(
    slid.some((m) => m.k === "d-push-bad"),
    "the push",
  );
});

test("speed: figures stand beside the work, and nothing is refused while nothing is asked", () => {
  const speeds = "80, 135, 210, 325, 660, 1115, 1750, 2720";
  const own = { op: "facemill", work: "grey", tool: "carbide", dia: "4", speeds };
  const p = draw("speed", own);
  const work = p.marks.filter((m) => m.k === "d-metal").flatMap((m) => points(m.d));
  const [l, t] = [Math.min(...work.map((q) => q[0])), Math.min(...work.map((q) => q[1]))];
  const [r, b] = [Math.max(...work.map((q) => q[0])), Math.max(...work.map((q) => q[1]))];
  const bold = p.words.filter((w) => w.own);
  assert.ok(bold.length >= 3, "speed, feed and depth");
  for (const w of bold) {
    const box = boxOf(w);
    assert.ok(box[2] < l || box[0] > r || box[3] < t || box[1] > b, `'${w.s}' over the work`);
  }
  assert.ok(
    p.words.some((w) => w.s === "rpm"),
    "the scale has its name",
  );
  const slow = answer("speed", { ...own, op: "drill", tool: "hss", dia: "4", speeds: "500, 1000" });
  assert.equal(pictureOf("speed", slow, true)!.marks.filter((m) => m.k === "d-badline").length, 0);
});

test("no figure is crossed by the leader of a box", () => {
  const clear = (name: string, pairs: Pairs) => {
    const p = draw(name, pairs);
    const leads = p.marks.filter((m) => m.k === "d-lead").map((m) => points(m.d));
    for (const w of p.words.filter((one) => one.own))
      for (const q of leads)
        for (let i = 1; i < q.length; i++)
          for (let k = 0; k <= 40; k++) {
            const [x, y] = [0, 1].map((c) => q[i - 1]![c]! + ((q[i]![c]! - q[i - 1]![c]!) * k) / 40);
            const b = boxOf(w);
            assert.ok(!(x! > b[0] && x! < b[2] && y! > b[1] && y! < b[3]), `${name}: '${w.s}'`);
          }
  };
  clear("reach", { travel: "30", cross: "12", long: "17", wide: "4", cutter: "5" });
  clear("sling", { weight: "600", angle: "30" });
  clear("sling", { weight: "600", angle: "60" });
});

test("sling: angle, leg and rise rule one for another, and the leg that is wrong is drawn so", () => {
  const p = draw("sling", { weight: "600", angle: "60" });
  assert.deepEqual(whens(p, "angle"), [["angle", { how: "equal" }]]);
  assert.deepEqual(whens(p, "near"), [[undefined, { how: "two" }]]);
  assert.equal(wrong(p).length, 0);
  assert.ok(wrong(draw("sling", { weight: "600", angle: "28" })).length >= 2, "both legs lie too flat");
  const weak = draw("sling", { weight: "2000", how: "two", near: "10", far: "2", rise: "10", rated: "1500" });
  const legs = wrong(weak).filter((m) => m.of === "leg");
  assert.equal(legs.length, 1, "the leg that pulls most");
  assert.ok(
    draw("sling", { weight: "100", how: "lugs", lugs: "5,1,10; -5,1,10" }).marks.length > 0,
    "it swings",
  );
});

test("weigh: bodies are touched, and a cut that meets no metal is drawn as wrong", () => {
  const p = draw("weigh", { parts: "add, box, 10, 10, 1, 5, 5; cut, rod, 4, , 1, 5, 5" });
  assert.deepEqual(
    p.spots.map((s) => [s.key, s.row]),
    [
      ["parts", 0],
      ["parts", 1],
    ],
  );
  assert.equal(wrong(p).length, 0);
  const stray = draw("weigh", { parts: "add, box, 10, 10, 1, 5, 5; cut, rod, 4, , 1, 25, 5" });
  assert.equal(wrong(stray).length, 2, "in both views");
  const gone = draw("weigh", { parts: "add, box, 1, 1, 1; cut, box, 2, 2, 2" });
  assert.equal(wrong(gone).length, 2, "more is cut out than there is");
});

test("speed: what a tool has not is not asked, and the rung that is too fast is seen", () => {
  const on = { work: "grey", speeds: "80 135 210 325 660 1115" };
  assert.deepEqual(draw("speed", { ...on, op: "drill", dia: "17/32" }).none, ["thread", "teeth", "width"]);
  assert.deepEqual(draw("speed", { ...on, op: "tap", thread: "5/8-11" }).none, [
    "dia",
    "teeth",
    "depth",
    "width",
  ]);
  const mill = draw("speed", { ...on, op: "facemill", dia: "4", teeth: "6" });
  assert.deepEqual(mill.none, ["thread", "depth"]);
  assert.equal(mill.marks.filter((m) => m.k === "d-mark").length, 1, "the rung that is set");
  assert.equal(wrong(mill).length, 0);
  const fast = draw("speed", { ...on, op: "facemill", dia: "8", teeth: "6" });
  assert.equal(fast.marks.filter((m) => m.k === "d-mark").length, 0);
  assert.equal(wrong(fast).length, 2, "the slowest rung, and the cutter");
});

test("power: bite and cutter at one scale, and a depth past the motor's line", () => {
  const on = { work: "grey", depth: ".1", width: "4", feed: "4", cutter: "6", teeth: "6", rpm: "80" };
  const p = draw("power", { ...on, motor: "3 hp" });
  const ring = p.marks.find((m) => m.k === "d-void d-line")!;
  const strip = p.marks.find((m) => m.k === "d-metal")!;
  near(height(points(strip.d)) / width(points(ring.d)), 4 / 6, 0.02, "width over cutter");
  assert.equal(wrong(p).length, 0);
  const much = wrong(draw("power", { ...on, motor: "1 hp" })).map((m) => points(m.d));
  assert.ok(
    much.some((q) => q.length === 2 && Math.abs(q[0]![1] - q[1]![1]) < 0.1),
    "the motor's line",
  );
});

test("facing: rows as far apart as they are, and as many layers as passes", () => {
  const on = { long: "14", wide: "14", stock: ".25", cutter: "6", teeth: "6", rpm: "80", pertooth: ".007" };
  const a = answer("facing", on);
  const p = pictureOf("facing", a)!;
  const rows = p.marks.filter((m) => m.k === "d-axis").map((m) => points(m.d)[0]![1]);
  const ring = p.marks.find((m) => m.k === "d-line" && m.of === "cutter")!;
  assert.equal(rows.length, Number(a.results["rows"]!.value));
  near((rows[1]! - rows[0]!) / width(points(ring.d)), Number(a.results["apart"]!.value) / 6, 0.02, "apart");
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
    headline: "",
    cautions: [],
    sources: [],
  };
  for (const name of Object.keys(plans)) assert.equal(pictureOf(name, empty), undefined, name);
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
    headline: "",
    cautions: [],
    sources: [],
  });
  near(r.need("b"), 1, 1e-12, "mm");
  assert.equal(r.t("a"), "3/4 in");
  assert.equal(r.cells("t", 0, 1, 2), "2.0000 in, 1.5 thou");
  near(r.rows("t")[0]![2] as number, 0.0015, 1e-12, "thou");
});

const kinds = (p: Picture, k: string): string[] => p.marks.filter((m) => m.k === k).map((m) => m.d);
/** Where the head of the one arrow of a move points to: its tip less the middle of its base. */
const arrow = (p: Picture): [number, number] => {
  const [tip, a, b] = of(p, "d-pushhead") as [[number, number], [number, number], [number, number]];
  return [tip[0] - (a[0] + b[0]) / 2, tip[1] - (a[1] + b[1]) / 2];
};

test("tram: the arrow goes the way that is said, at the end that is said, and only where one is ordered", () => {
  const out = { readings: ", 0 thou; , 2 thou; , 4 thou" };
  const p = draw("tram", out);
  assert.ok(arrow(p)[1] < 0, "back is up the screen, where the indicator stands before the face");
  assert.ok(of(p, "d-pushhead")[0]![0] > 200, "at the right end");
  assert.ok(arrow(draw("tram", { ...out, side: "column" }))[1] > 0, "forward is down");
  assert.ok(arrow(draw("tram", { ...out, side: "above" }))[1] > 0, "down is down");
  assert.ok(arrow(draw("tram", { readings: ", 0 thou; , -2 thou; , -4 thou" }))[1] > 0, "forward");
  const left = draw("tram", { ...out, pivot: "last" });
  assert.ok(of(left, "d-pushhead")[0]![0] < 100, "at the left end, where the right one stays");
  assert.equal(kinds(draw("tram", { readings: ", 0; , 0; , 0", allow: ".002" }), "d-pushhead").length, 0);
  assert.deepEqual(
    p.areas.map((a) => `${a.key} ${a.value}`),
    ["pivot first", "pivot last"],
  );
});

test("tram: places stand over their boxes, and a place that does not repeat is drawn as wrong", () => {
  const p = draw("tram", { readings: ", 0 thou; , 2 thou; , 4 thou" });
  const dots = p.marks.filter((m) => m.k === "d-dot").map((m) => points(m.d)[0]![0] + 4);
  // Three boxes and the faint one of 44 behind them, 6 apart, 12 from the edge.
  const wide = (360 - 24 - 50 - 12) / 3;
  for (const i of [0, 1, 2]) near(dots[i]!, 12 + wide / 2 + i * (wide + 6), 1, `place ${i + 1}`);
  const bad = draw("tram", { readings: "0, 0; 14, 0; 0, 3 thou" });
  assert.equal(kinds(bad, "d-badline").length, 1);
  near(Math.min(...of(bad, "d-badline").map((q) => q[0])), 57, 12, "at the left end");
  assert.equal(kinds(bad, "d-pushhead").length, 0);
});

test("sweep: a box at each side of the circle, the head's top goes to the side that is said", () => {
  const p = draw("sweep", { right: "3 thou", left: "0", swing: "9" });
  const at = Object.fromEntries(p.asks.map((a) => [a.key, [a.x, a.y] as const]));
  assert.ok(at["right"]![0] > at["swing"]![0] && at["left"]![0] < at["swing"]![0]);
  assert.ok(at["back"]![1] < at["swing"]![1] && at["front"]![1] > at["swing"]![1]);
  assert.ok(arrow(p)[0] < 0, "top left");
  assert.ok(arrow(draw("sweep", { right: "0", left: "3 thou" }))[0] > 0, "top right");
  const open = draw("sweep", { right: "0", left: "4 thou", back: "2 thou", front: "5 thou" });
  assert.equal(kinds(open, "d-badline").length, 2, "both pairs");
  assert.equal(kinds(open, "d-pushhead").length, 0);
});

test("tapin: the round before stands faint, each lean against what is wanted", () => {
  const p = draw("tapin", { pairs: "0, 6 thou; 0, 1.5 thou" });
  assert.ok(kinds(p, "d-ghost").length >= 2, "the round before, and the next landing");
  assert.ok(arrow(p)[1] < 0);
  const shim = draw("tapin", { pairs: "0, -6 thou", mode: "shim" });
  assert.equal(kinds(shim, "d-pushhead").length, 0);
  assert.ok(shim.words.some((w) => w.s.startsWith("in ")));
});

test("shim, square, bar and chain: what is wrong is drawn where it is wrong", () => {
  const feet = draw("shim", { by: "feet", readings: "0,0,0; 10,0,5 thou; 10,8,12 thou; 0,8,7 thou" });
  assert.equal(feet.spots.length, 4);
  assert.equal(kinds(feet, "d-fill").length, 3, "a pack under three of four");
  const leans = draw("square", { readings: "0,0,0; 12,2 thou,2 thou", turned: "plate" });
  assert.ok(arrow(leans)[0] > 0, "out, to the indicator");
  assert.equal(kinds(draw("square", { readings: "0,0,0; 6,4 thou,0; 12,0,0" }), "d-badline").length, 1);
  assert.equal(kinds(draw("bar", { readings: "1,0,1 thou; 13,6 thou,0" }), "d-badline").length, 1);
  const chain = draw("chain", {
    setups: "bottom, top, 0, 10; top, bottom, 1, 10",
    causes: "2, seat, x, .002, .0002",
    faces: "bottom, 1, bottom, face, 0, 10; top, 2, top, face, 1, 10, .001",
  });
  assert.equal(kinds(chain, "d-badline").length, 2, "the face, and how far it is out");
});
