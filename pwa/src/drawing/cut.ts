/** Tools on their work: speeds, milling, drilling, tapping, the passes of a face. */
import { arc, type Pad, polar, type Point, WIDTH } from "./pad";
import type { Reader } from "./read";
import { px, spread } from "./scale";

/** A tool from the front, its axis upright: how wide at the point and at the shank, in its diameters. */
const TOOLS: Record<string, readonly [point: number, shank: number]> = {
  facemill: [1, 0.45],
  endmill: [1, 0.8],
  drill: [1, 0.9],
  ream: [1, 0.7],
  tap: [1, 0.8],
  csink: [1, 0.5],
  bore: [1, 0.5],
};

/** The tool standing in its work, and the machine's speeds as a ladder beside it. */
function speed(p: Pad, r: Reader) {
  const op = r.word("op");
  if (!op) return false;
  p.tell(`${op}: ${r.t("rpm") || "no speed"}, never faster than ${r.t("toprpm")}`);
  const mill = op === "facemill" || op === "endmill";
  const deep = /drill|ream|tap|bore/.test(op);
  const [x, face, low] = [146, 178, 236];
  const [l, end] = [92, 206];
  const half = op === "facemill" ? 46 : op === "endmill" || op === "csink" ? 26 : 17;
  // Past the boxes under it.
  const by: Point[] = [[94, 58]];
  p.ask(op === "tap" ? "thread" : "dia", 45, 39, { w: 86, from: [x - half, 154], by });
  if (mill || op === "ream") p.ask("teeth", 45, 104, { w: 86, from: [x - half + 2, face - 2] });
  if (op === "drill") p.ask("depth", 45, 104, { w: 86, from: [x - half, face + 24] });
  if (mill) p.ask("width", 45, 210, { w: 86, from: [x - half, face + 4] });
  p.ask("maxrpm", 225, 39, { w: 86, from: [x + 8, 76] });
  p.none(
    [
      op === "tap" ? "dia" : "thread",
      mill || op === "ream" ? "" : "teeth",
      op === "drill" ? "" : "depth",
      mill ? "" : "width",
    ]
      .filter(Boolean)
      .join(" "),
  );
  const bad = !p.faint && r.word("toprpm") !== "" && r.n("rpm") === undefined;
  // The work, cut open where the tool goes down into it.
  const into = deep ? low - 6 : face + (mill ? 8 : 14);
  p.face(
    "d-metal",
    [
      [l, face],
      [x - half, face],
      [x - half, into],
      [x + half, into],
      [x + half, face],
      [mill ? x + half : end, face],
      [mill ? x + half : end, low],
      [l, low],
    ],
    "iron",
  );
  const right = mill ? end : x + half;
  if (mill) p.iron(x + half, into, right, low);
  p.line(
    "d-line",
    [l, face],
    [x - half, face],
    [x - half, into],
    [x + half, into],
    [x + half, mill ? into : face],
  );
  if (!mill) p.line("d-line", [x + half, face], [end, face]);
  tool(p, op, x, half, into, bad);
  p.block([l, face, end, low]);
  p.block([x - half, 72, x + half, low]);
  ladder(p, r);
  // The way it is fed, and what the cut takes.
  if (mill) {
    p.push(104, low + 16, 132, low + 16);
    p.block([104, low + 10, 136, low + 22]);
    p.fig("feed", 192, low + 21, "", 40);
    if (r.n("rpm") !== undefined) p.fig("depth", 304, low + 23, "deep", 40);
  } else {
    p.push(x, 82, x, 104);
    p.fig("perrev", x + 76, 96, "", 60);
    p.fig("push", 190, low + 20, "", 70);
  }
  p.fig("twist", 108, low + 20, "", 60);
}

/** The body of a tool down to its point, its edges hinted. */
function tool(p: Pad, op: string, x: number, half: number, low: number, bad: boolean): void {
  const [, shank] = TOOLS[op] ?? [1, 0.8];
  const neck = half * shank;
  const top = 72;
  const body = op === "facemill" ? low - 34 : op === "csink" ? low - 40 : low - 92;
  const point = op === "drill" ? half * 0.6 : op === "csink" ? half : 0;
  const shape: Point[] = [
    [x - neck, top],
    [x - neck, body],
    [x - half, body],
    [x - half, low - point],
    [x, low],
    [x + half, low - point],
    [x + half, body],
    [x + neck, body],
    [x + neck, top],
  ];
  p.face("d-tool", op === "bore" ? bar(x, half, low, top) : shape);
  if (bad) p.line("d-badline", ...shape);
  if (/drill|ream|endmill/.test(op)) {
    for (let y = body + 10; y < low - point - 8; y += 18) p.line("d-thin", [x - half, y + 12], [x + half, y]);
  }
  if (op === "tap") {
    for (let y = body + 8; y < low - 4; y += 7) p.line("d-flank", [x - half - 2, y + 2], [x + half + 2, y]);
  }
  if (op === "facemill")
    for (const k of [-0.8, -0.3, 0.3, 0.8])
      p.box("d-zone", x + k * half - 4, low - 10, x + k * half + 4, low);
}

const bar = (x: number, half: number, low: number, top: number): Point[] => [
  [x - half * 0.5, top],
  [x - half * 0.5, low - 8],
  [x - half, low - 6],
  [x - half, low],
  [x + half * 0.5, low],
  [x + half * 0.5, top],
];

/**
 * The machine's speeds as rungs, the fastest on top, the one that is set thick; where they are not
 * known, the speed by itself.
 */
function ladder(p: Pad, r: Reader): void {
  const set = r.n("rpm");
  const top = r.n("toprpm");
  const rungs = r
    .rows("speeds")
    .map((c) => c[0])
    .filter((n): n is number => typeof n === "number" && n > 0)
    .sort((a, b) => b - a);
  const [l, rt, y0, y1] = [296, 318, 84, 236];
  if (p.faint || rungs.length === 0) {
    p.bold(r.t("rpm"), WIDTH - 8, (y0 + y1) / 2, 110, "end");
    return;
  }
  p.put((l + rt) / 2, y0 - 16, "rpm", "d-name", "middle");
  p.block([l - 2, y0 - 8, WIDTH, y1 + 8]);
  p.line("d-line", [l, y0 - 8], [l, y1 + 8]);
  p.line("d-line", [rt, y0 - 8], [rt, y1 + 8]);
  const [hi, lo] = [Math.log(rungs[0]!), Math.log(rungs.at(-1)!)];
  const want = rungs.map((n) =>
    hi > lo ? y0 + ((hi - Math.log(n)) / (hi - lo)) * (y1 - y0) : (y0 + y1) / 2,
  );
  const gap = Math.min(14, (y1 - y0) / Math.max(1, rungs.length - 1));
  const at = spread(want, gap, y0, y1);
  let said = -Infinity;
  rungs.forEach((n, i) => {
    const y = at[i]!;
    // A rung past the limit is dashed; where none is slow enough the slowest one is wrong.
    const fast = top !== undefined && n > top * 1.001;
    const chosen = set !== undefined && Math.abs(n - set) < set * 0.005;
    const wrong = set === undefined && fast && i === rungs.length - 1;
    p.line(chosen ? "d-mark" : wrong ? "d-badline" : fast ? "d-ghost" : "d-thin", [l, y], [rt, y]);
    if (chosen || y - said < 13) return;
    said = y;
    p.put(rt + 5, y + 4, String(Math.round(n)), "d-num");
  });
  const i = rungs.findIndex((n) => set !== undefined && Math.abs(n - set) < set * 0.005);
  if (i < 0) return;
  p.bold(r.t("rpm"), l - 5, at[i]! + 5, 84, "end");
  p.tell(r.t("rpm"));
}

/** A milling cutter from above in the strip it cuts, going to the right; the depth beside it. */
function power(p: Pad, r: Reader) {
  const [cutter, width, depth] = r.needs("cutter width depth") as [number, number, number];
  const left = (r.n("offset") ?? 0) * 1;
  const [x, y] = [118, 146];
  const s = 62 / (cutter / 2);
  const rad = 62;
  const [top, low] = [y - (left + width / 2) * s, y - (left - width / 2) * s];
  p.ask("cutter", 45, 39, { w: 86, from: [x - 40, y - 46] });
  p.ask("teeth", 135, 39, { w: 86, from: [x + 34, y - 50] });
  p.ask("rpm", 225, 39, { w: 86, from: [x + 52, y - 40] });
  p.ask("motor", 315, 39, { w: 86 });
  p.ask("width", 45, 250, { w: 86, from: [30, low - 4] });
  p.ask("feed", 150, 250, { w: 92, from: [196, y + 18] });
  p.ask("depth", 315, 250, { w: 86, from: [286, 176] });
  const bad = r.word("ok") === "false";
  // What is cut lies behind the cutter, what is to be cut before it.
  p.box("d-thin", 8, top, x, low);
  p.iron(x, top, 212, low);
  p.round("d-void d-line", x, y, rad);
  const angle = (h: number): number => (Math.asin(Math.max(-1, Math.min(1, h / rad))) * 180) / Math.PI;
  const [a, b] = [angle(y - low), angle(y - top)];
  const bite = 9;
  const edge = (dx: number): string => arc(x + dx, y, rad, a, b);
  const [e0, e1] = [polar(x, y, rad, a), polar(x, y, rad, b)];
  p.curve(
    bad ? "d-pushhead-bad" : "d-fill",
    `${edge(0)}L${px(e1[0] - bite)} ${px(e1[1])}${arc(x - bite, y, rad, b, a).replace("M", "L")}L${px(e0[0])} ${px(e0[1])}Z`,
  );
  const n = Math.max(1, Math.min(24, r.n("teeth") ?? 4));
  for (let i = 0; i < n; i++) {
    const [tx, ty] = polar(x, y, rad - 5, (360 / n) * i + 12);
    p.round("d-dot", tx, ty, 2.4);
  }
  p.of("rpm", () => {
    const turn = r.word("hand") === "left" ? 1 : -1;
    p.curve("d-dim", arc(x, y, 26, 120, 120 + turn * 250), y + 26);
    const [hx, hy] = polar(x, y, 26, 120 + turn * 250);
    const dir = ((120 + turn * 250 + turn * 90) * Math.PI) / 180;
    p.head(hx, hy, Math.cos(dir), -Math.sin(dir), "d-arrow", 11);
  });
  p.of("feed", () => p.push(188, y + 18, 216, y + 18));
  // The push on the part, the way it goes on average.
  const [ahead, across] = [r.n("ahead") ?? 0, r.n("across") ?? 0];
  const f = Math.hypot(ahead, across);
  if (f > 0) p.push(x, y, x + (ahead / f) * 44, y - (across / f) * 44, bad ? "-bad" : "");
  p.fig("force", x + 4, y + (across > 0 ? 44 : -34), "", 60);
  // From the side: the step it leaves, and how deep the motor goes.
  const most = r.n("deepest");
  const k = 52 / Math.max(depth, Math.min(most ?? depth, depth * 4));
  const [l, rt, over] = [232, 352, 116];
  const floor = over + depth * k;
  p.face(
    "d-metal",
    [
      [l, floor],
      [286, floor],
      [286, over],
      [rt, over],
      [rt, 196],
      [l, 196],
    ],
    bad ? "bad" : "iron",
  );
  p.line("d-line", [l, floor], [286, floor], [286, over], [rt, over]);
  p.of("depth", () => p.upright(262, over, floor));
  if (most !== undefined && most < depth * 4) {
    p.line(bad ? "d-badline" : "d-ghost", [l, over + most * k], [rt, over + most * k]);
    p.fig("deepest", 322, over + most * k + 18, "", 50);
  }
  p.fig("motorpower", 315, 84, "", 30);
  p.fig("pertooth", 190, 90, "", 60);
}

/** A block cut through with a hole in it. */
function holed(p: Pad, x: number, half: number, top: number, low: number, deep: number): void {
  p.face(
    "d-metal",
    [
      [96, top],
      [x - half, top],
      [x - half, deep],
      [x + half, deep],
      [x + half, top],
      [264, top],
      [264, low],
      [96, low],
    ],
    "iron",
  );
  p.line("d-line", [96, top], [x - half, top], [x - half, deep]);
  p.line("d-line", [x + half, deep], [x + half, top], [264, top]);
}

/** A bent arrow about an upright axis: what twists. */
function twist(p: Pad, x: number, y: number, bad: boolean): void {
  p.curve(
    bad ? "d-push-bad" : "d-push",
    `M${px(x - 26)} ${px(y)}A26 9 0 0 0 ${px(x + 24)} ${px(y + 3)}`,
    y + 10,
  );
  p.head(x + 27, y - 3, 0.5, -1, bad ? "d-pushhead-bad" : "d-pushhead", 12);
  p.block([x - 28, y - 6, x + 32, y + 12]);
}

/** A drill in its hole with what it pushes and twists with. */
function drillforce(p: Pad, r: Reader) {
  p.tell(`A drill of ${r.need("dia") && r.t("dia")}, fed ${r.t("feed")} a turn`);
  const bad = r.word("ok") === "false";
  const [x, half] = [180, 24];
  p.ask("dia", 45, 60, { w: 86, from: [x - half, 150] });
  p.ask("feed", 45, 150, { w: 86, from: [x - 4, 214] });
  p.ask("rpm", 315, 60, { w: 86, from: [x + 30, 82] });
  p.ask("motor", 315, 150, { w: 86 });
  holed(p, x, half, 176, 236, 214);
  tool(p, "drill", x, half, 222, bad);
  twist(p, x, 88, bad);
  p.push(x, 30, x, 66, bad ? "-bad" : "");
  p.fig("thrust", x + 52, 36, "", 40);
  p.fig("torque", x + 66, 110, "", 50);
  p.fig("motorpower", 315, 196, "", 40);
}

/** A tap in its hole with what it twists with. */
function taptorque(p: Pad, r: Reader) {
  p.tell(`A tap in a hole of ${r.need("hole") && r.t("hole")}`);
  const bad = r.word("ok") === "false";
  const [x, half] = [180, 24];
  p.ask("thread", 45, 60, { w: 86, from: [x - half, 150] });
  p.ask("hole", 45, 150, { w: 86, from: [x - half + 4, 228] });
  p.ask("breaks", 310, 60, { w: 96, worked: "breaks", from: [x + 20, 100] });
  p.ask("rpm", 315, 150, { w: 86, from: [x + 30, 86] });
  holed(p, x, half - 4, 176, 248, 240);
  tool(p, "tap", x, half, 220, bad);
  twist(p, x, 88, bad);
  p.fig("torque", x + 66, 116, "", 50);
  p.fig("double", 310, 214, "dull", 40);
}

/** A face from above with the ways of the cutter over it, and its stock in layers. */
function facing(p: Pad, r: Reader) {
  const [long, wide, cutter, stock] = r.needs("long wide cutter stock") as [number, number, number, number];
  const start = r.n("start") ?? long / 2 + cutter / 2;
  const rows = Math.max(1, Math.round(r.n("rows") ?? 1));
  const apart = r.n("apart") ?? 0;
  const both = r.word("ends") !== "one";
  const high = Math.max(wide, apart * (rows - 1) + cutter);
  const s = Math.min(214 / (2 * start + cutter), 118 / high);
  const [x, y] = [132, 142];
  p.ask("cutter", 45, 39, {
    w: 86,
    from: [x - start * s, y - ((rows - 1) / 2) * apart * s - (cutter / 2) * s],
  });
  p.ask("teeth", 135, 39, { w: 86 });
  p.ask("rpm", 225, 39, { w: 86 });
  p.ask("pertooth", 315, 39, { w: 86 });
  p.ask("wide", 45, 248, { w: 86, from: [x - (long / 2) * s + 6, y + (wide / 2) * s - 4] });
  p.ask("long", 150, 248, { w: 86, from: [x, y + (wide / 2) * s] });
  p.ask("stock", 300, 248, { w: 86, from: [300, 196] });
  p.of("long", () =>
    p.of("wide", () =>
      p.iron(x - (long / 2) * s, y - (wide / 2) * s, x + (long / 2) * s, y + (wide / 2) * s),
    ),
  );
  const seen = Math.min(rows, 24);
  for (let i = 0; i < seen; i++) {
    const at = y + (i * (rows / seen) - (rows - 1) / 2) * apart * s;
    const end = x + (both ? start : Math.min(start, long / 2 + cutter * 0.1)) * s;
    p.line("d-axis", [x - start * s, at], [end, at]);
    if (i === 0) {
      p.of("cutter", () => p.round("d-line", x - start * s, at, (cutter / 2) * s));
      p.round("d-ghost", end, at, (cutter / 2) * s);
      p.push(x - 18, at, x + 18, at);
    }
  }
  // The stock in layers, the last one thin.
  const each = r.n("each") ?? 0;
  const levels = Math.min(20, Math.round(r.n("levels") ?? 0));
  const k = 92 / stock;
  const [l, rt, top] = [262, 330, 92];
  p.of("stock", () => p.iron(l, top, rt, top + 104));
  p.box("d-zone", l, top, rt, top + stock * k, "chamfer");
  for (let i = 1; i <= levels; i++) p.line("d-line", [l, top + i * each * k], [rt, top + i * each * k]);
  p.line("d-line", [l, top + stock * k], [rt, top + stock * k]);
  p.upright(340, top, top + stock * k);
  p.fig("each", l + 34, top + Math.max(14, Math.min(each * k, 92) / 2 + 6), "", 60);
  p.fig("total", WIDTH / 2, 212, "", 70);
  p.fig("start", 60, 212, "start", 60);
}

export const cutting = { speed, power, drillforce, taptorque, facing };
