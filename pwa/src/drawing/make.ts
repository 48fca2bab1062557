/** Made up: stacks, sine bar, triangle, arc, taper, dividing, warm part. */
import { arc as bend, drawn, type Pad, ROOM, life, polar, span, times, WIDTH, type Point } from "./pad";
import type { Reader } from "./read";

/** A stack to scale, every piece beside its size. */
function pile(
  p: Pad,
  sizes: number[],
  s: number,
  base: number,
  label: (i: number) => [string, string],
): void {
  let y = base;
  sizes.forEach((size, i) => {
    const top = y - size * s;
    p.box("d-metal", 60, top, 170, y, i % 2 ? "steel" : "iron");
    p.box("d-line", 60, top, 170, y);
    p.tag(170, (y + top) / 2, ...label(i));
    y = top;
  });
  p.line("d-line", [30, base], [200, base]);
}

function blocks(p: Pad, r: Reader) {
  const stack = r.rows("stack").map((b) => [String(b[0]), Number(b[1])] as const);
  const total = stack.reduce((a, b) => a + b[1], 0);
  if (!(total > 0)) return false;
  const s = 270 / total;
  const base = 296;
  pile(
    p,
    stack.map((b) => b[1]),
    s,
    base,
    (i) => [`Block ${i + 1}`, stack[i]![0]],
  );
  p.upright(36, base, base - total * s);
  p.note("Heights to scale.");
}

function shims(p: Pad, r: Reader) {
  const leaves = r.numbers("leaves", 1).map((l) => l[0]!);
  const total = leaves.reduce((a, b) => a + b, 0);
  const want = r.n("want") ?? total;
  const most = Math.max(total, want);
  if (!(most > 0)) return false;
  const s = 200 / most;
  const base = 30 + most * s;
  pile(p, leaves, s, base, (i) => ["Leaf", r.cells("leaves", i, 0)]);
  const goal = base - want * s;
  p.line("d-mark", [40, goal], [190, goal]);
  p.tag(190, goal, "Wanted", "=want");
  p.note(`Thicknesses ${life(s)}. The thick line is what is wanted.`);
}

function sine(p: Pad, r: Reader) {
  const [bar, angle, stack] = r.needs("bar angle stack") as [number, number, number];
  const zero = r.n("zero") ?? 0;
  const a = (angle * Math.PI) / 180;
  const rad = bar * 0.07;
  const v = p.view(
    [-2 * rad, 0, bar * 1.02 + 2 * rad, Math.max(zero, stack, bar * Math.sin(a) + zero) + 3 * rad],
    [12, 20, ROOM, 300],
  );
  const [X, Y] = [v.x, v.y];
  const low: Point = [0, zero + rad];
  const high: Point = [bar * Math.cos(a), stack + rad];
  const lift: Point = [-Math.sin(a) * rad, Math.cos(a) * rad];
  const edge = (q: Point, k: number): Point => [X(q[0] + lift[0] * k), Y(q[1] + lift[1] * k)];
  p.line("d-line", [8, Y(0)], [ROOM + 4, Y(0)]);
  if (zero > 0) p.iron(X(-rad), Y(zero), X(rad), Y(0));
  if (stack > 0) p.iron(X(high[0] - rad), Y(stack), X(high[0] + rad), Y(0));
  p.face("d-tool", [edge(low, 0.4), edge(high, 0.4), edge(high, 1.6), edge(low, 1.6)]);
  for (const q of [low, high]) p.round("d-tool", X(q[0]), Y(q[1]), rad * v.s);
  p.line("d-axis", [X(low[0]), Y(low[1])], [X(bar), Y(low[1])]);
  p.line("d-axis", [X(low[0]), Y(low[1])], [X(high[0]), Y(high[1])]);
  if (angle > 0.5) p.curve("d-dim", bend(X(0), Y(low[1]), 60, 0, angle));
  p.tag(X((low[0] + high[0]) / 2), Y((low[1] + high[1]) / 2) - 4, "Bar", "=bar");
  p.tag(X(high[0] + rad), Y(stack * 0.5), "Stack", "=stack");
  p.tag(...polar(X(0), Y(low[1]), 60, angle / 2), "Angle", "=dms");
  p.note("To scale, but for rollers and thickness.");
}

function triangle(p: Pad, r: Reader) {
  const [c, h, foot] = r.needs("c height foot") as [number, number, number];
  const [x0, x1] = span([0, c, foot]);
  const v = p.view([x0, 0, x1, h], [44, 40, WIDTH - 44, 240]);
  const base = v.y(0);
  const corners: Point[] = [
    [v.x(0), base],
    [v.x(c), base],
    [v.x(foot), v.y(h)],
  ];
  p.face("d-metal", corners);
  p.face("d-line", corners);
  p.line("d-axis", corners[2]!, [v.x(foot), base]);
  const middle = (list: Point[]): Point =>
    [0, 1].map((k) => list.reduce((a, q) => a + q[k]!, 0) / list.length) as [number, number];
  const [mx, my] = middle(corners);
  const name = (q: Point, s: string): void => {
    const n = 15 / (Math.hypot(q[0] - mx, q[1] - my) || 1);
    p.near(q[0] + (q[0] - mx) * n, q[1] + (q[1] - my) * n + 5, s, "d-size");
  };
  corners.forEach((q, i) => {
    const k = "abc"[i]!;
    name(q, k.toUpperCase());
    name(middle(corners.filter((o) => o !== q)), k);
    p.row(`Side ${k}`, `=${k}`);
    p.row(`Angle ${k.toUpperCase()}`, `=ang${k}`);
  });
  p.note("To scale.");
}

function arc(p: Pad, r: Reader) {
  const [R, chord, rise, angle] = r.needs("radius chord rise angle") as [number, number, number, number];
  // Beyond a half turn the arc is wider than its chord.
  const half = angle > 180 ? R : chord / 2;
  const near = R < 1.6 * Math.max(rise, 2 * half);
  const low = Math.min(0, near ? rise - R : 0);
  const v = p.view([-half, low, half, rise], [20, 30, WIDTH - 20, 260]);
  const [x, y] = [v.x(0), v.y(rise - R)];
  const turn = angle / 2;
  if (near || R * v.s < 5000)
    p.curve("d-line", bend(x, y, R * v.s, 90 + turn, 90 - turn), v.y(Math.min(0, low)));
  else p.line("d-line", [v.x(-half), v.y(0)], [v.x(0), v.y(rise)], [v.x(half), v.y(0)]);
  p.line("d-thin", [v.x(-chord / 2), v.y(0)], [v.x(chord / 2), v.y(0)]);
  p.upright(x, v.y(rise), v.y(0));
  if (near) {
    p.round("d-dot", x, y, 3.5);
    p.line("d-axis", [x, y], [v.x(-chord / 2), v.y(0)]);
    p.line("d-axis", [x, y], [v.x(chord / 2), v.y(0)]);
    p.letter((x + v.x(chord / 2)) / 2, (y + v.y(0)) / 2, "Radius", "=radius");
  }
  p.letter(v.x(-chord / 4), v.y(0) + 14, "Chord", "=chord");
  p.letter(x + 18, (v.y(rise) + v.y(0)) / 2, "Rise", "=rise");
  p.note(near ? "To scale." : "To scale. The centre is off the sheet.");
}

function taper(p: Pad, r: Reader) {
  const half = (r.need("half") * Math.PI) / 180;
  const [big, small, long] = [r.n("big"), r.n("small"), r.n("length")];
  const known = big !== undefined && small !== undefined && long !== undefined && long > 0;
  const rise = Math.tan(Math.min(half, 1.48));
  const d1 = known ? small : 0.5;
  const L = known ? long : Math.min(2, 1 / rise);
  const d2 = known ? big : d1 + 2 * L * rise;
  const v = p.view([0, -d2 / 2, L, d2 / 2], [44, 24, WIDTH - 44, 230]);
  const [X, Y] = [v.x, v.y];
  const cone: Point[] = [
    [X(0), Y(d1 / 2)],
    [X(L), Y(d2 / 2)],
    [X(L), Y(-d2 / 2)],
    [X(0), Y(-d1 / 2)],
  ];
  p.face("d-metal", cone, "steel");
  p.face("d-line", cone);
  p.line("d-axis", [X(0) - 16, Y(0)], [X(L) + 16, Y(0)]);
  p.line("d-ghost", [X(0), Y(d1 / 2)], [X(L), Y(d1 / 2)]);
  if (known) {
    p.upright(X(L) + 20, Y(d2 / 2), Y(-d2 / 2));
    p.upright(X(0) - 20, Y(d1 / 2), Y(-d1 / 2));
    const y = Y(-d2 / 2) + 18;
    p.level(X(0), X(L), y);
    p.letter(X(L) + 20, Y(d2 * 0.25), "Large", "=big");
    p.letter(X(0) - 20, Y(0), "Small", "=small");
    p.letter(X(L / 2), y, "Length", "=length");
  }
  p.letter(X(L * 0.7), Y(d1 / 2 + L * rise * 0.35), "Half angle, the slide's", "=half");
  p.note(known ? "To scale." : "The angle is true, the sizes are not known.");
}

function divide(p: Pad, r: Reader) {
  const [n, holes] = [r.need("circle"), r.need("holes")];
  const turns = r.n("turns") ?? 0;
  const [x, y, R] = [114, 120, 96];
  const at = (k: number): Point => polar(x, y, R, 90 - (k / n) * 360);
  p.round("d-metal", x, y, R + 14);
  p.round("d-line", x, y, R + 14);
  if (n <= 200) {
    const dot = Math.min(4.5, (Math.PI * R) / n / 1.4);
    for (let k = 0; k < n; k++) p.round("d-void d-thin", ...at(k), dot);
  } else p.round("d-ghost", x, y, R);
  // Sector arms from the hole the pin is in to the one it goes to.
  p.line("d-line", [x, y], at(0));
  p.line("d-mark", [x, y], at(holes));
  p.round("d-dot", ...at(0), 6);
  p.round("d-fill", ...at(holes), 6);
  if (holes > 0) p.curve("d-dim", bend(x, y, 52, 90, 90 - (holes / n) * 360));
  p.round("d-tool", x, y, 9);
  p.tag(...at(0), "Pin is here", `${n} circle`);
  p.tag(...at(holes), "Goes to", `${r.t("turns")} turns + ${r.t("holes")}`);
  p.note(`Holes in their true places, counted clockwise.${turns > 0 ? " Whole turns are not drawn." : ""}`);
}

function heat(p: Pad, r: Reader) {
  const [reading, size] = [r.need("reading"), r.need("size")];
  const change = size - reading;
  const long = Math.max(Math.abs(reading), Math.abs(size));
  if (!(long > 0)) return false;
  const s = 240 / long;
  const by = change === 0 ? 1 : times(60 / (Math.abs(change) * s));
  const end = 24 + Math.abs(reading) * s;
  const bars: [string, string, number, string][] = [
    ["Read now", r.t("reading"), end, "iron"],
    ["At 20 C", r.t("size"), end + change * s * by, "steel"],
  ];
  bars.forEach(([name, text, x, lining], i) => {
    const y = 34 + i * 74;
    p.put(24, y - 8, `${name}: ${text}`, "d-small");
    p.tell(`${name} ${text}`);
    p.box("d-metal", 24, y, x, y + 26, lining);
    p.box("d-line", 24, y, x, y + 26);
    p.line("d-ext", [x, y + 26], [x, 158]);
  });
  p.level(end, bars[1]![2], 150);
  p.note(`Lengths to scale; the change ${drawn(by)}.`);
}

export const make = { blocks, shims, sine, triangle, arc, taper, divide, heat };
