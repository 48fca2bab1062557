/** Made up: stacks, sine bar, triangle, arc, taper, dividing, warm part. */
import { arc as bend, bareOf, drawn, type Pad, polar, span, times, WIDTH, type Point } from "./pad";
import type { Reader } from "./read";
import { brokenEdge, spread } from "./scale";

/** Metal stacked on a plate, each block beside its size. */
function wrung(
  p: Pad,
  sizes: number[],
  names: string[],
  x: readonly [number, number],
  base: number,
  s: number,
): void {
  let y = base;
  const middles: number[] = [];
  sizes.forEach((size, i) => {
    const top = y - size * s;
    p.iron(x[0], top, x[1], y, i % 2 ? "steel" : "iron");
    middles.push((y + top) / 2);
    y = top;
  });
  if (p.faint) return;
  // From the bottom up on the drawing, from the top down in the list of places.
  const at = spread(middles, 19, y + 6, base - 4);
  at.forEach((ly, i) => {
    p.line("d-ext", [x[1], middles[i]!], [x[1] + 12, ly], [x[1] + 18, ly]);
    p.put(x[1] + 22, ly + 5, names[i]!, "d-small");
    p.tell(`block ${i + 1} from the bottom ${names[i]}`);
  });
}

function blocks(p: Pad, r: Reader) {
  const stack = r.rows("stack").map((b) => [String(b[0]), Number(b[1])] as const);
  const height = r.need("height");
  const total = stack.reduce((a, b) => a + b[1], 0);
  const s = 246 / Math.max(total, height);
  const [base, goal] = [292, 292 - height * s];
  const [left, right] = [138, 226];
  if (total > 0)
    wrung(
      p,
      stack.map((b) => b[1]),
      stack.map((b) =>
        bareOf(b[0])
          .replace(/(\.\d*?)0+$/, "$1")
          .replace(/\.$/, ""),
      ),
      [left, right],
      base,
      s,
    );
  else {
    p.box("d-badline", left, goal, right, base, "bad");
    p.tell("No stack of this set makes it");
  }
  p.line("d-line", [16, base], [330, base]);
  p.line("d-ext", [110, goal], [left - 4, goal]);
  if (total > 0 && Math.abs(total - height) > 1e-9) p.line("d-mark", [left - 12, goal], [right + 6, goal]);
  p.of("height", () => p.upright(118, base, goal));
  p.ask("height", 56, Math.max(80, (base + goal) / 2), { from: [118, (base + goal) / 2] });
  if (total > 0) p.fig("total", (left + right) / 2, Math.min(goal, base - total * s) - 10);
}

function sine(p: Pad, r: Reader) {
  const [bar, angle, stack] = r.needs("bar angle stack") as [number, number, number];
  const zero = r.n("zero") ?? 0;
  const a = (angle * Math.PI) / 180;
  const rad = bar * 0.06;
  const top = Math.max(zero, stack, bar * Math.sin(a) + zero) + 3 * rad;
  const v = p.view([-2 * rad, 0, bar * Math.max(Math.cos(a), 0.3) + 2 * rad, top], [16, 66, 262, 244]);
  const [X, Y] = [v.x, v.y];
  const low: Point = [0, zero + rad];
  const high: Point = [bar * Math.cos(a), stack + rad];
  const lift: Point = [-Math.sin(a) * rad, Math.cos(a) * rad];
  const edge = (q: Point, k: number): Point => [X(q[0] + lift[0] * k), Y(q[1] + lift[1] * k)];
  const base = Y(0);
  p.line("d-line", [8, base], [WIDTH - 8, base]);
  if (zero > 0) p.iron(X(-rad), Y(zero), X(rad), base);
  let y = 0;
  // The stack as it is made up; without blocks, as one piece.
  const made = r.t("blocks").split(" + ");
  const sizes = made.map((b) => r.size(b) ?? 0);
  const sum = sizes.reduce((q, b) => q + b, 0);
  (Math.abs(sum - stack) < 0.02 * stack ? sizes : stack > 0 ? [stack] : []).forEach((b, i) => {
    p.iron(X(high[0] - rad), Y(y + b), X(high[0] + rad), Y(y), i % 2 ? "steel" : "iron");
    y += b;
  });
  const bad = r.answer.mark === "stop";
  const body = [edge(low, 0.4), edge(high, 0.4), edge(high, 1.6), edge(low, 1.6)];
  p.face("d-tool", body);
  if (bad) p.face("d-badline", body, "bad");
  for (const q of [low, high]) p.round("d-tool", X(q[0]), Y(q[1]), rad * v.s);
  p.line("d-axis", [X(low[0]), Y(low[1])], [X(high[0]), Y(high[1])]);
  const bow = Math.min(90, 0.5 * bar * v.s);
  p.of("angle", () => {
    p.line("d-axis", [X(low[0]), Y(low[1])], [X(low[0]) + bow + 20, Y(low[1])]);
    if (angle > 0.5) p.curve("d-dim", bend(X(0), Y(low[1]), bow, 0, angle));
  });
  const side = Math.max(X(high[0] + rad) + 10, 40);
  p.of("stack", () => p.upright(side, base, Y(Math.max(stack, 0.001 * bar))));
  p.ask("angle", 100, base + 46, {
    worked: "angle",
    w: 128,
    from: polar(X(0), Y(low[1]), bow, angle / 2),
    ...(!p.faint && { when: { stack: "" } }),
  });
  p.ask("stack", Math.min(side + 58, 312), Math.min(base - 24, Y(stack / 2)), {
    worked: "stack",
    from: [side, Y(stack / 2)],
    ...(!p.faint && { when: { angle: "" } }),
  });
  const mid = edge([(low[0] + high[0]) / 2, (low[1] + high[1]) / 2], 1.6);
  p.ask("bar", Math.max(50, mid[0] - 60), Math.max(38, mid[1] - 42), { from: mid });
}

const PARTS = ["a", "b", "c", "anga", "angb", "angc"];

/**
 * What a part that is typed besides the others pushes out: of an angle another angle, of a side an
 * angle too, else the last side. One side always stays.
 */
function pushed(r: Reader, key: string): Record<string, string> {
  const right = r.word("kind") === "right";
  if (key === "angc" && right) return { kind: "any" };
  const typed = PARTS.filter((k) => r.typed(k) !== undefined && !(right && k === "angc"));
  if (typed.includes(key) || typed.length < (right ? 2 : 3)) return {};
  const out = typed.filter((k) => k.length > 1).at(-1) ?? typed.at(-1)!;
  return { [out]: "" };
}

function triangle(p: Pad, r: Reader) {
  const [c, h, foot] = r.needs("c height foot") as [number, number, number];
  // The other of two triangles, imagined.
  const two = r.rows("other");
  const other = two.length === 3 ? two.map((q) => Number(q[1])) : undefined;
  const apex = (a: number, b: number, base: number): Point => {
    const f = (b * b + base * base - a * a) / (2 * base);
    return [f, Math.sqrt(Math.max(0, b * b - f * f))];
  };
  const ghost: Point[] = other ? [[0, 0], [other[2]!, 0], apex(other[0]!, other[1]!, other[2]!)] : [];
  const all = [[0, 0], [c, 0], [foot, h], ...ghost] as Point[];
  const [x0, x1] = span(all.map((q) => q[0]));
  const [, y1] = span(all.map((q) => q[1]));
  const v = p.view([x0, 0, x1, y1], [106, 76, 254, 226]);
  const at = (q: Point): Point => [v.x(q[0]), v.y(q[1])];
  const corners = (
    [
      [0, 0],
      [c, 0],
      [foot, h],
    ] as Point[]
  ).map(at);
  p.face("d-metal", corners);
  p.face("d-line", corners);
  if (ghost.length > 0) p.face("d-ghost", ghost.map(at));
  const [A, B, C] = corners as [Point, Point, Point];
  p.line("d-axis", C, [C[0], A[1]]);
  const half = (q: Point, o: Point): Point => [(q[0] + o[0]) / 2, (q[1] + o[1]) / 2];
  // Every part has its place beside the triangle whatever its shape.
  const [middle, foot1] = [Math.max(104, (A[1] + C[1]) / 2), A[1] + 64];
  const places: [string, number, number, Point][] = [
    ["a", 312, middle, half(B, C)],
    ["b", 48, middle, half(A, C)],
    ["c", 180, foot1, half(A, B)],
    ["anga", 68, foot1, A],
    ["angb", 292, foot1, B],
    ["angc", 180, 38, C],
  ];
  for (const [key, x, y, from] of places) {
    const side = key.length === 1;
    p.ask(key, x, y, {
      worked: key,
      w: key === "c" ? 76 : side ? 84 : 128,
      from,
      ...(!p.faint && { when: pushed(r, key) }),
    });
  }
  p.fig("height", C[0] + 26, (C[1] + A[1]) / 2 + 6, "", 30);
}

/** What an arc's part that is typed besides two others pushes out: the chord stays longest. */
function pushedArc(r: Reader, key: string): Record<string, string> {
  const typed = ["chord", "radius", "rise", "angle"].filter((k) => r.typed(k) !== undefined);
  return typed.length < 2 || typed.includes(key) ? {} : { [typed[1]!]: "" };
}

function arc(p: Pad, r: Reader) {
  const [R, chord, rise, angle] = r.needs("radius chord rise angle") as [number, number, number, number];
  // Beyond a half turn the arc is wider than its chord.
  const half = angle > 180 ? R : chord / 2;
  const near = R < 1.6 * Math.max(rise, 2 * half);
  const low = Math.min(0, near ? rise - R : 0);
  const v = p.view([-half, low, half, rise], [60, 34, WIDTH - 60, near ? 236 : 200]);
  const [x, y] = [v.x(0), v.y(rise - R)];
  const turn = angle / 2;
  if (near || R * v.s < 5000)
    p.curve("d-line", bend(x, y, R * v.s, 90 + turn, 90 - turn), v.y(Math.min(0, low)));
  else p.line("d-line", [v.x(-half), v.y(0)], [v.x(0), v.y(rise)], [v.x(half), v.y(0)]);
  const ends: [Point, Point] = [
    [v.x(-chord / 2), v.y(0)],
    [v.x(chord / 2), v.y(0)],
  ];
  p.of("chord", () => p.line("d-thin", ...ends));
  p.of("rise", () => p.upright(x, v.y(rise), v.y(0)));
  if (near) {
    p.round("d-dot", x, y, 3.5);
    for (const e of ends) p.line("d-axis", [x, y], e);
  }
  const foot = Math.max(v.y(low), v.y(0)) + 50;
  const ask = (key: string, ax: number, ay: number, from: Point, w?: number): void =>
    p.ask(key, ax, ay, {
      worked: key,
      from,
      ...(w && { w }),
      ...(!p.faint && { when: pushedArc(r, key) }),
    });
  const middle = (v.y(rise) + v.y(0)) / 2;
  ask("chord", 54, foot, ends[0]);
  ask("rise", 316, Math.max(40, middle), [x, middle]);
  ask("angle", 180, foot, near ? [x, y] : [x, v.y(0)], 128);
  ask("radius", 306, foot, near ? [(x + ends[1][0]) / 2, (y + ends[1][1]) / 2] : ends[1]);
  p.fig("length", x - 60, v.y(rise) - 6, "along");
}

function divide(p: Pad, r: Reader) {
  const n = r.n("circle") ?? 0;
  const [holes, turns] = [r.n("holes") ?? 0, r.n("turns") ?? 0];
  const [x, y, R] = [122, 136, 92];
  const at = (k: number, by = R): Point => polar(x, y, by, 90 - (k / (n || 1)) * 360);
  p.round("d-metal", x, y, R + 14);
  // No step with these plates: the plate is what is wrong.
  if (n === 0) p.round("d-badline", x, y, R, "bad");
  else if (n <= 200) {
    const dot = Math.min(4.5, (Math.PI * R) / n / 1.4);
    for (let k = 0; k < n; k++) p.round("d-void d-thin", ...at(k), dot);
  } else p.round("d-ghost", x, y, R);
  p.round("d-line", x, y, R + 14);
  if (n > 0) {
    // Sector arms from the hole the pin is in to the one it goes to.
    p.line("d-line", [x, y], at(0));
    p.line("d-mark", [x, y], at(holes));
    p.round("d-dot", ...at(0), 6);
    p.round("d-fill", ...at(holes), 6);
    if (holes > 0) p.curve("d-dim", bend(x, y, 52, 90, 90 - (holes / n) * 360));
  }
  p.spot("d-tool", x, y, 9);
  // The work beside it, with its divisions.
  const [wx, wy, wr] = [296, 62, 44];
  const step = r.need("step");
  const places = Math.round(360 / step);
  p.round("d-metal", wx, wy, wr, "steel");
  p.round("d-line", wx, wy, wr);
  if (places <= 72 && Math.abs(places * step - 360) < 0.01)
    for (let k = 0; k < places; k++)
      p.line("d-thin", polar(wx, wy, wr - 9, 90 - k * step), polar(wx, wy, wr, 90 - k * step));
  for (const k of [0, 1]) p.line("d-mark", [wx, wy], polar(wx, wy, wr, 90 - k * step));
  const one = !p.faint;
  p.ask("divisions", 296, 148, { from: [wx, wy + wr], w: 116, ...(one && { when: { angle: "" } }) });
  p.ask("angle", 293, 214, { worked: "step", w: 128, ...(one && { when: { divisions: "" } }) });
  p.ask("ratio", 296, 280, { w: 116, from: [x + 64, y + 84] });
  if (turns > 0) p.fig("turns", 56, 268, "turns", 30);
  p.fig("holes", 166, 268, "holes", 30);
  p.fig("circle", x, y + 56, "circle", 40);
}

const kelvin = (r: Reader, key: string): number | undefined => {
  const t = r.n(key);
  return t === undefined ? undefined : r.answer.inputs[key]?.unit === "F" ? ((t - 32) * 5) / 9 : t;
};

function heat(p: Pad, r: Reader) {
  const reading = r.need("reading");
  const tp = kelvin(r, "tpart") ?? 20;
  const tg = kelvin(r, "tgauge");
  const grows = (key: string, t: number): number => reading * r.need(key) * 1e-6 * (t - 20);
  const part = grows("partppm", tp);
  const gauge = grows("gaugeppm", tg ?? tp);
  const most = Math.max(Math.abs(part), Math.abs(gauge));
  const [left, end] = [126, 284];
  const s = (end - left) / Math.abs(reading || 1);
  const by = most > 0 ? times(56 / (most * s)) : 1;
  const x = (grown: number): number => Math.max(left + 84, end + grown * s * by);
  const bars: [number, number, string, string][] = [
    [56, part, "tpart", r.word("part") === "iron" ? "iron" : "steel"],
    [134, gauge, "tgauge", "steel"],
  ];
  for (const [y, grown, key, lining] of bars) {
    const known = key === "tpart" || tg !== undefined;
    p.of(key, () => {
      p.box("d-metal", left, y, x(grown), y + 44, lining);
      p.line(known ? "d-line" : "d-ghost", [left, y], [x(grown), y], [x(grown), y + 44], [left, y + 44]);
    });
    // They go on to the left.
    p.curve("d-thin", brokenEdge(left, y, y + 44));
    p.ask(key, 62, y + 22, { w: 108 });
  }
  if (r.answer.mark === "stop") p.box("d-badline", left, 56, x(part), 100);
  p.tell("part and gauge, one above the other, over the line of the size they have at 20 C");
  p.line("d-axis", [end, 42], [end, 194]);
  p.put(end, 34, r.answer.inputs["tpart"]?.unit === "F" ? "68°" : "20°", "d-name", "middle");
  p.ask("reading", 194, 232, { from: [Math.min(x(gauge), 350), 178], w: 104 });
  p.ask("want", 306, 232, { w: 100 });
  p.fig("size", 196, 84, "is", 30);
  p.fig("aim", 196, 162, "read", 30);
  p.fig("change", 66, 238, "change", 40);
  if (by > 1) p.note(`Growth ${drawn(by)}.`);
}

export const make = { blocks, sine, triangle, arc, divide, heat };
