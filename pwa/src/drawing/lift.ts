/** Weight, balance point and slings. */
import { arc, type Pad, polar, span, type Point, type View } from "./pad";
import type { Reader } from "./read";

type Span = [number, number];

/** The bodies' extents from the front and from above, with the balance point in both. */
function weigh(p: Pad, r: Reader) {
  const boxes = r.filled("boxes");
  const parts = r.rows("parts");
  const cut = boxes.map((_, k) => parts[k]?.[0] === "cut");
  const g = ["cgx", "cgy", "cgz"].map((k) => r.n(k)); // none where more is cut out than there is
  const reach = (i: number, k: number): Span =>
    span([...boxes.flatMap((b) => [b[i]!, b[i + 1]!]), ...(g[k] === undefined ? [] : [g[k]])]);
  const [[x0, x1], [y0, y1], [z0, z1]] = [reach(1, 0), reach(3, 1), reach(5, 2)];
  // Side by side, at one scale.
  const s = Math.min(160 / (x1 - x0 || 1), 150 / (y1 - y0 || 1), 150 / (z1 - z0 || 1));
  const view = (l: number, lo: number, hi: number): View => {
    const top = 24 + (150 - (hi - lo) * s) / 2;
    return p.view([x0, lo, x1, hi], [l, top, l + 168, top + 150], s);
  };
  const [front, above] = [view(8, z0, z1), view(184, y0, y1)];
  p.tell(`From the front and from above, so many bodies: ${boxes.length}`);
  p.ask("scale", 308, 222, { w: 92 });
  // A cut that meets no metal of the rows above it is drawn as what it is: wrong.
  const meets = (a: number[], b: number[]): boolean =>
    [1, 3, 5].every((i) => a[i]! < b[i + 1]! && b[i]! < a[i + 1]!);
  const astray = boxes.map((b, k) => cut[k]! && !boxes.some((o, j) => j < k && !cut[j] && meets(b, o)));
  const both = [
    [front, 5, "y"],
    [above, 3, "z"],
  ] as const;
  for (const [v, i, axis] of both) {
    // Solid bodies first, voids over them: a void inside shows dashed.
    for (const voids of [false, true]) {
      boxes.forEach((b, k) => {
        if (cut[k] !== voids) return;
        const along = String(parts[k]?.[8] ?? "z").replace("-", "") || "z";
        body(p, v, b, i, String(parts[k]?.[1] ?? ""), along, axis, voids, astray[k]! || g[0] === undefined);
      });
    }
  }
  p.put(92, 14, "front", "d-name", "middle");
  p.put(268, 14, "above", "d-name", "middle");
  boxes.forEach((b, k) => {
    const x = beside(above, (above.x(b[1]!) + above.x(b[2]!)) / 2, k, boxes.length);
    p.place("parts", k, x, above.y((b[3]! + b[4]!) / 2));
  });
  const [gx, gy, gz] = g;
  if (gx === undefined || gy === undefined || gz === undefined) return;
  p.balance(front.x(gx), front.y(gz), 8);
  p.balance(above.x(gx), above.y(gy), 8);
  const line = front.bottom + 14;
  p.level(front.x(Math.min(Math.max(0, x0), x1)), front.x(gx), line);
  p.line("d-axis", [front.x(gx), front.y(gz)], [front.x(gx), line + 4]);
  p.fig("cgx", front.x(gx) - 20, line + 20, "X", 60);
  p.fig("cgz", front.x(gx) + 34, front.y(gz) - 12, "Z", 70);
  p.fig("cgy", above.x(gx) + 34, above.y(gy) - 12, "Y", 70);
  p.fig("lift", 110, 238, "", 60);
}

/** Places that would lie on each other are set side by side. */
const beside = (v: View, x: number, k: number, n: number): number =>
  n < 2 ? x : Math.max(v.left + 6, Math.min(v.right - 6, x + (k - (n - 1) / 2) * Math.min(10, 60 / n)));

function body(
  p: Pad,
  v: View,
  b: number[],
  i: number,
  shape: string,
  along: string,
  axis: string,
  cut: boolean,
  wrong: boolean,
): void {
  const [l, t, rt, bt] = [v.x(b[1]!), v.y(b[i + 1]!), v.x(b[2]!), v.y(b[i]!)];
  const ring = shape === "ball" || (along === axis && /rod|tube|cone|dome|ring/.test(shape));
  const kind = cut ? (wrong ? "d-badline" : "d-ghost") : "d-line";
  if (ring) {
    const c = (rt - l) / 2;
    if (!cut) p.round("d-metal", (l + rt) / 2, (t + bt) / 2, c, "iron");
    p.round(cut && along === axis && !wrong ? "d-void d-line" : kind, (l + rt) / 2, (t + bt) / 2, c);
  } else {
    if (!cut) p.box("d-metal", l, t, rt, bt, "iron");
    p.box(kind, l, t, rt, bt);
  }
}

/** Hook, legs and load in elevation, every leg at its true angle, turned into the sheet. */
function sling(p: Pad, r: Reader) {
  const legs = r.rows("legs").map((l) => l.map((c) => (typeof c === "number" ? c : 0)));
  const swings = legs.length === 0; // nothing hangs so: the lugs as they were typed
  const lugs = swings ? r.numbers("lugs", 3) : legs.map((l) => [l[1]!, l[2]!, l[3]!]);
  if (lugs.length === 0) return false;
  // Left ones are turned left, right ones right.
  const at = lugs.map(([x, y, up]): [number, number] => {
    const far = Math.hypot(x!, y!);
    return [x! < 0 || (x === 0 && y! < 0) ? -far : far, up!];
  });
  const rise = Math.max(...at.map((q) => q[1]));
  const out = Math.max(...at.map((q) => Math.abs(q[0])), rise * 0.05);
  const low = 196;
  const s = Math.min(108 / out, 160 / rise);
  const hook: Point = [180, low - rise * s];
  const ends = at.map(([x, up]): Point => [180 + x * s, hook[1] + up * s]);
  const [x0, x1] = span(ends.map((e) => e[0]));
  const two = r.word("how") === "two";
  const right = ends.reduce((a, e) => (e[0] > a[0] ? e : a));
  const left = ends.reduce((a, e) => (e[0] < a[0] ? e : a));
  const mid = (e: Point): Point => [(hook[0] + e[0]) / 2, (hook[1] + e[1]) / 2];
  const alike = { how: "equal" };
  p.ask("rated", 46, 60, { w: 88, from: [hook[0] - 6, hook[1] - 8] });
  p.ask("angle", 46, 132, {
    w: 88,
    worked: swings ? "" : "angle",
    when: alike,
    from: [left[0] + 8, left[1] - 10],
  });
  p.ask("rise", 314, 60, { w: 88, from: [180, (hook[1] + low) / 2] });
  p.ask("leg", 314, 132, { w: 88, when: alike, from: mid(right) });
  p.ask("weight", 180, 232, { w: 96 });
  p.ask("near", 60, 290, { w: 88, when: { how: "two" }, from: [(180 + x0) / 2, 262] });
  p.ask("far", 300, 290, { w: 88, when: { how: "two" }, from: [(180 + x1) / 2, 262] });
  const bad = r.word("ok") === "false";
  const flat = (r.n("angle") ?? 90) < 30;
  p.curve(bad && !flat ? "d-badline" : "d-line", arc(hook[0], hook[1] - 10, 6, -90, 160), hook[1]);
  p.line("d-line", [hook[0], Math.max(2, hook[1] - 34)], [hook[0], hook[1] - 16]);
  p.line("d-axis", hook, [hook[0], 256]);
  const worst = Math.max(...legs.map((l) => l[6] ?? 0));
  ends.forEach((e, i) => {
    const angle = legs[i]?.[5] ?? 90;
    const wrong = swings || (bad && (flat ? angle < 30 : (legs[i]![6] ?? 0) >= worst * 0.999));
    p.of("leg", () => p.line(wrong ? "d-badline" : "d-line", hook, e));
    if (angle < 89.5) {
      const side = e[0] >= hook[0];
      p.of("angle", () =>
        p.curve("d-dim", arc(e[0], e[1], 24, side ? 180 : 0, side ? 180 - angle : angle), e[1]),
      );
    }
    p.line("d-line", e, [e[0], low + 10]);
    p.round("d-tool", e[0], e[1], 4);
  });
  p.of("weight", () => p.iron(Math.min(x0 - 14, 124), low + 10, Math.max(x1 + 14, 236), 256));
  p.balance(180, 206 + 50 - 9, 7);
  if (two) {
    p.of("near", () => p.level(x0, 180, 264));
    p.of("far", () => p.level(180, x1, 264));
  }
  const over = mid(left);
  p.fig("tension", over[0] + 46, over[1] + 10, "", 90);
}

/** What the eyebolt may carry in every direction, drawn along the pull. */
function eyebolt(p: Pad, r: Reader) {
  const zones = r.numbers("byangle", 2);
  const angle = r.n("angle") ?? 0;
  const most = Math.max(r.n("straight") ?? 0, r.n("pull") ?? 0, ...zones.map((z) => z[1]!));
  if (!(most > 0)) return false;
  const [ox, oy, long] = [64, 196, 150];
  const at = (deg: number, d: number): Point => polar(ox, oy, d, 90 - deg);
  const pull = r.n("pull") ?? 0;
  const d = Math.min(pull / most, 1) * long;
  const q = at(angle, Math.max(d, 26));
  p.ask("pull", 308, 39, { w: 96, from: q });
  p.ask("angle", 308, 100, { w: 96, from: at(angle / 2, 40) });
  p.ask("rated", 308, 164, { w: 96, from: [ox + 9, oy - 2] });
  p.ask("size", 308, 228, { w: 96, from: [ox + 6, oy + 34] });
  p.ask("grip", 196, 254, { w: 92, from: [ox + 12, oy + 30] });
  const bad = r.word("ok") === "false";
  // Each zone is a sector as long as its load.
  let from = 0;
  zones.forEach(([to, load]) => {
    const n = (load! / most) * long;
    if (n > 0.5) {
      const sector = `M${ox} ${oy}L${arc(ox, oy, n, 90 - to!, 90 - from).slice(1)}Z`;
      p.curve(bad && angle > from && angle <= to! ? "d-metal d-badline" : "d-metal", sector, oy);
      p.curve("d-thin", sector, oy);
    }
    from = to!;
  });
  p.line("d-axis", [ox, oy], at(angle, long + 12));
  p.curve("d-dim", arc(ox, oy, 40, 90 - Math.max(angle, 0.5), 90), oy);
  p.push(...at(angle, 8), ...q, bad ? "-bad" : "");
  p.round("d-tool", ox, oy, 9);
  p.round("d-void d-thin", ox, oy, 4.5);
  const seated = r.word("kind") !== "plain";
  if (seated) p.box("d-tool", ox - 14, oy + 9, ox + 14, oy + 14);
  const top = oy + 14;
  p.iron(8, top, 140, top + 62);
  p.box("d-zone", ox - 6, top, ox + 6, top + 40, "thread");
  p.box("d-thin", ox - 6, top, ox + 6, top + 40);
  p.of("grip", () => p.upright(ox + 14, top, top + 40));
  const free = at(Math.min(angle + 24, 70), long * 0.62);
  p.fig("allowed", free[0] + 36, free[1], "", 110);
}

export const lift = { weigh, sling, eyebolt };
