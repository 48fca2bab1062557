/** Tapers: as drawn, over pins on blocks, by discs, by balls in a hole. */
import { drawn, type Pad, polar, times, WIDTH, type Point } from "./pad";
import type { Reader } from "./read";

/** How a taper is found, by what was typed: the worksheet takes it from there too. */
function way(r: Reader): string {
  const said = r.word("from");
  if (said !== "ends") return said;
  const has = (...keys: string[]): boolean => keys.some((k) => r.typed(k) !== undefined);
  if (["big", "small", "length"].every((k) => has(k)) || has("rate", "ratio", "angle")) return said;
  if (has("pin", "low", "high", "blocks")) return "pins";
  if (has("disc1", "disc2", "apart")) return "discs";
  return has("ball1", "ball2", "top1", "top2") ? "balls" : said;
}

function taper(p: Pad, r: Reader) {
  const half = (r.need("half") * Math.PI) / 180;
  switch (way(r)) {
    case "pins":
      return overPins(p, r, half);
    case "discs":
      return byDiscs(p, r, half);
    case "balls":
      return byBalls(p, r, half);
  }
  return asDrawn(p, r, half);
}

const RATES = ["rate", "ratio", "angle"];

/**
 * What a size typed besides the others pushes out: with both ends and the length known the rate has
 * nothing to say, and a rate leaves the small end open.
 */
function pushed(r: Reader, key: string): Record<string, string> {
  const has = (k: string): boolean => r.typed(k) !== undefined;
  const ends = ["big", "small", "length"].filter(has);
  const clear = (keys: string[]): Record<string, string> => Object.fromEntries(keys.map((k) => [k, ""]));
  if (RATES.includes(key))
    return clear([...RATES.filter((k) => k !== key), ...(ends.length === 3 ? ["small"] : [])]);
  return !has(key) && ends.length === 2 ? clear(RATES) : {};
}

function asDrawn(p: Pad, r: Reader, half: number): void {
  const [big, small, long] = [r.n("big"), r.n("small"), r.n("length")];
  const known = big !== undefined && small !== undefined && long !== undefined && long > 0;
  const rise = Math.tan(Math.min(half, 1.48));
  const d1 = known ? small : 0.5;
  const L = known ? long : Math.min(2, 1 / rise);
  // A slope that could not be seen is drawn steeper.
  const by = half < 0.026 ? times(0.06 / half) : 1;
  const d2 = d1 + 2 * L * rise * by;
  const v = p.view([0, -d2 / 2, L, d2 / 2], [104, 60, 256, 164]);
  const [X, Y] = [v.x, v.y];
  const cone: Point[] = [
    [X(0), Y(d1 / 2)],
    [X(L), Y(d2 / 2)],
    [X(L), Y(-d2 / 2)],
    [X(0), Y(-d1 / 2)],
  ];
  p.face("d-metal", cone, "steel");
  p.face("d-line", cone);
  p.line("d-axis", [X(0) - 14, Y(0)], [X(L) + 14, Y(0)]);
  p.line("d-ghost", [X(0), Y(d1 / 2)], [X(L), Y(d1 / 2)]);
  p.of("big", () => p.upright(X(L) + 14, Y(d2 / 2), Y(-d2 / 2)));
  p.of("small", () => p.upright(X(0) - 14, Y(d1 / 2), Y(-d1 / 2)));
  const y = Y(-d2 / 2) + 12;
  p.of("length", () => p.level(X(0), X(L), y));
  const ask = (key: string, x: number, at: number, how: { from?: Point; w?: number }): void =>
    p.ask(key, x, at, { worked: key, ...how, ...(!p.faint && { when: pushed(r, key) }) });
  ask("big", 312, Y(0), { from: [X(L) + 14, Y(0)] });
  ask("small", 48, Y(0), { from: [X(0) - 14, Y(0)] });
  ask("length", 180, y + 44, { from: [X(L / 2), y] });
  ask("rate", 68, y + 112, { w: 128 });
  ask("ratio", 173, y + 112, { w: 74 });
  ask("angle", 292, y + 112, { w: 128 });
  p.fig("half", X(L * 0.6), Math.max(24, Y(d2 / 2) - 16), "half", 30);
  p.fig("setover", 66, y + 48, "set over", 40);
  if (by > 1) p.note(`Slope ${drawn(by)}.`);
}

function overPins(p: Pad, r: Reader, half: number): void {
  const [pin, low, high, blocks] = r.needs("pin low high blocks") as [number, number, number, number];
  const plate = r.need("plate");
  const slope = Math.tan(half) * Math.sign(high - low || 1);
  const tall = blocks + 1.6 * pin;
  const wide = Math.max(low, high, plate, plate + 2 * tall * slope);
  const v = p.view([-wide / 2, 0, wide / 2, tall], [96, 84, 264, 222]);
  const [X, Y] = [v.x, v.y];
  const top = plate / 2 + tall * slope;
  const cone: Point[] = [
    [X(-plate / 2), Y(0)],
    [X(-top), Y(tall)],
    [X(top), Y(tall)],
    [X(plate / 2), Y(0)],
  ];
  p.face("d-metal", cone, "steel");
  p.face("d-line", cone);
  p.line("d-axis", [X(0), Y(tall) - 8], [X(0), Y(0) + 8]);
  p.line("d-line", [16, Y(0)], [WIDTH - 16, Y(0)]);
  for (const k of [-1, 1]) {
    const at = high / 2 - pin / 2;
    p.of("blocks", () => p.iron(X(k * at - pin * 0.6), Y(blocks), X(k * at + pin * 0.6), Y(0)));
    p.of("high", () => p.round("d-ghost", X(k * at), Y(blocks + pin / 2), (pin / 2) * v.s));
    p.of("low", () => p.round("d-tool", X((k * (low - pin)) / 2), Y(pin / 2), (pin / 2) * v.s));
  }
  const above = Math.max(70, Y(tall) - 8);
  p.of("high", () => p.level(X(-high / 2), X(high / 2), above));
  p.of("low", () => p.level(X(-low / 2), X(low / 2), Y(0) + 14));
  p.ask("high", 180, 36, { from: [X(0), above], w: 100 });
  p.ask("low", 180, Y(0) + 62, { from: [X(0), Y(0) + 14], w: 100 });
  p.ask("blocks", 312, 150, { from: [X(high / 2 - pin / 2), Y(blocks / 2)] });
  p.ask("pin", 48, 150, { from: [X(-(low - pin) / 2), Y(pin / 2)] });
  p.fig("half", 64, Y(0) + 66, "half", 24);
  p.fig("plate", 292, Y(0) + 66, "at plate", 24);
}

function byDiscs(p: Pad, r: Reader, half: number): void {
  const [d1, d2, apart] = r.needs("disc1 disc2 apart") as [number, number, number];
  const [R, q] = [d1 / 2, d2 / 2];
  const v = p.view([-R, -R, apart + q, R], [30, 76, 330, 206]);
  const [X, Y] = [v.x, v.y];
  const turn = 90 - (half * 180) / Math.PI;
  const touch = (x: number, rad: number, k: number): Point => {
    const [tx, ty] = polar(0, 0, rad, k * turn);
    return [X(x + tx), Y(-ty)];
  };
  for (const k of [-1, 1]) p.line("d-line", touch(0, R, k), touch(apart, q, k));
  for (const [key, x, rad] of [
    ["disc1", 0, R],
    ["disc2", apart, q],
  ] as const)
    p.of(key, () => {
      p.round("d-metal", X(x), Y(0), rad * v.s, "steel");
      p.round("d-line", X(x), Y(0), rad * v.s);
    });
  p.line("d-axis", [X(-R) - 6, Y(0)], [X(apart + q) + 6, Y(0)]);
  const y = Y(-R) + 14;
  p.of("apart", () => p.level(X(0), X(apart), y));
  p.ask("disc1", Math.max(48, X(0)), 38, { from: [X(0), Y(R)] });
  p.ask("disc2", Math.min(312, Math.max(X(apart), X(0) + 96)), 38, { from: [X(apart), Y(q)] });
  p.ask("apart", 180, y + 48, { from: [X(apart / 2), y] });
  p.fig("half", 60, y + 52, "half", 36);
  p.fig("rate", 300, y + 52, "", 36);
}

function byBalls(p: Pad, r: Reader, half: number): void {
  const [d1, d2, top1, top2] = r.needs("ball1 ball2 top1 top2") as [number, number, number, number];
  const mouth = r.need("mouth");
  const [R, q] = [d1 / 2, d2 / 2];
  const deep = top2 + d2 * 1.1;
  const above = Math.max(0, -top1);
  const side = mouth / 2 + R * 0.7;
  const v = p.view([-side, -deep, side, above], [98, 40, 262, 286]);
  const [X, Y] = [v.x, v.y];
  const bottom = Math.max(0, mouth / 2 - deep * Math.tan(half));
  for (const k of [-1, 1]) {
    const wall: Point[] = [
      [X(k * side), Y(0)],
      [X((k * mouth) / 2), Y(0)],
      [X(k * bottom), Y(-deep)],
      [X(k * side), Y(-deep)],
    ];
    p.face("d-metal", wall, "iron");
    p.face("d-line", wall);
  }
  p.of("ball1", () => p.round("d-tool", X(0), Y(-(top1 + R)), R * v.s));
  p.of("ball2", () => p.round("d-tool", X(0), Y(-(top2 + q)), q * v.s));
  p.line("d-axis", [X(0), Y(above) - 6], [X(0), Y(-deep) + 6]);
  p.line("d-ext", [X(side), Y(0)], [X(side) + 16, Y(0)]);
  p.of("top1", () => p.line("d-ext", [X(0), Y(-top1)], [X(side) + 16, Y(-top1)]));
  p.of("top2", () => p.line("d-ext", [X(0), Y(-top2)], [X(side) + 16, Y(-top2)]));
  p.ask("ball1", 48, Math.max(90, Y(-(top1 + R))), { from: [X(-R * 0.6), Y(-(top1 + R))] });
  p.ask("ball2", 48, Math.max(160, Y(-(top2 + q))), { from: [X(-q * 0.6), Y(-(top2 + q))] });
  p.ask("top1", 312, Math.max(64, Y(-top1)), { from: [X(side) + 16, Y(-top1)] });
  p.ask("top2", 312, Math.max(134, Y(-top2)), { from: [X(side) + 16, Y(-top2)] });
  p.fig("mouth", 180, 26, "at face", 20);
  p.fig("half", 312, 286, "half", 36);
}

export const tapers = { taper };
