/** Section through a tapped hole: every depth is a box, and the one that is typed in rules. */
import { holePlan, type HolePlan } from "./hole-plan";
import { type AskWays, bareOf, type Pad, type Point } from "./pad";
import type { Reader } from "./read";
import { brokenEdge, spread } from "./scale";

/** Where the column of boxes stands, and how wide they are. */
const [BOXES, WIDE] = [310, 96];

/** What stands in an input: a word, or nothing where it is a number. */
const said = (r: Reader, key: string): string => String(r.answer.inputs[key]?.value ?? "");

/** The sizes of the answer; of a drill that makes no thread its depths are those of the tap. */
function planOf(r: Reader): (HolePlan & { through: boolean }) | undefined {
  const drill = r.need("dia");
  const reach = r.need("reach");
  const through = said(r, "depth") === "through" || said(r, "stock") === "through";
  const shoulder = r.n("shoulder") ?? reach + (r.n("chiproom") ?? 0);
  const full = r.n("full") ?? Math.max(0, reach - (r.n("chamferlen") ?? 0));
  const p = holePlan({
    drill,
    major: r.n("major") ?? drill,
    full,
    reach,
    shoulder,
    tip: r.n("tip") ?? shoulder + (r.n("pointlen") ?? 0),
    stock: through ? full : r.typed("stock"),
    through,
    cskDia: r.n("cskdia"),
    cskDepth: r.n("cskdepth"),
    pitch: r.n("pitch"),
  });
  return p && { ...p, through };
}

/** What each depth is: the name over its box, its input, and what is typed with it. */
const depths: Record<string, [string, AskWays]> = {
  full: ["full thread", { worked: "full", when: { to: "thread" } }],
  shoulder: ["shoulder", { worked: "shoulder", when: { to: "shoulder" } }],
  tip: ["point", { worked: "tip", when: { to: "point" } }],
};

export function hole(p: Pad, r: Reader): false | void {
  const h = planOf(r);
  if (!h) return false;
  const wrong = !p.faint && r.answer.mark === "stop";
  boxes(p, r, h);
  section(p, h);
  if (wrong) faults(p, r, h);
  dimensions(p, h);
  figures(p, r, h);
  p.tell(h.through ? "The hole goes through" : "Depths from the surface");
}

/** The boxes: thread and countersink over the mouth, the depths in a column at the right. */
function boxes(p: Pad, r: Reader, h: HolePlan & { through: boolean }): void {
  p.ask("thread", 50, 36, { from: [h.x - h.halfMajor, h.surface + (h.full - h.surface) * 0.3 + 8], w: 92 });
  // Where no drill will do, its size stands in the headline.
  p.ask("drill", h.x - 2, 36, { w: 74, ...(!r.t("drill").startsWith("bore") && { worked: "drill" }) });
  p.ask("csk", 222, 36, {
    from: [h.x + (h.csk?.half ?? h.halfDrill), h.surface],
    w: 76,
    ...(r.n("cskdia") !== undefined && { worked: "cskdia" }),
  });
  const byWord = said(r, "stock") === "through";
  h.depths.forEach(({ key, y, label }, i) => {
    const [name, ways] = depths[key] ?? ["plate", {}];
    const back = key === "back";
    const input = back !== byWord ? "stock" : "depth";
    p.ask(input, BOXES, label, {
      ...(!h.through && ways),
      ...((back || !h.through) && {
        from: [dimensionAt(h, i) + 3, y] as Point,
        by: [[BOXES - WIDE / 2, label + 11] as Point],
      }),
      w: WIDE,
      name: h.through && !back ? "hole" : name,
    });
  });
}

/** Of the dimension lines the shallowest stands outermost, so that no leader crosses another. */
const dimensionAt = (h: HolePlan, i: number): number => h.right + 9 + (h.depths.length - 1 - i) * 8;

/** Stock in cast iron's section lining, the thread in dye blue. */
function section(p: Pad, h: HolePlan & { through: boolean }): void {
  const { x, surface, left, right, bottom, back, csk, halfDrill, halfMajor } = h;
  const [low, high] = [x - halfDrill, x + halfDrill];
  const end = h.through ? bottom : h.shoulder;
  const point = h.through ? bottom : h.tip;
  p.box("d-metal", left, surface, right, bottom, "iron");
  const hole: Point[] = [
    [low, surface],
    [low, Math.min(end, bottom)],
    ...(h.through ? [] : ([[x, Math.min(point, bottom)]] as Point[])),
    [high, Math.min(end, bottom)],
    [high, surface],
  ];
  p.face("d-void", hole);
  p.of("thread", () => {
    for (const side of [1, -1]) {
      const [drill, major] = [x + side * halfDrill, x + side * halfMajor];
      const full = Math.min(h.full, bottom);
      if (full > surface) p.box("d-zone", drill, surface, major, full, "thread");
      if (!h.through && h.reach > h.full && h.full < bottom)
        p.face("d-zone", clipped([drill, h.full], [major, h.full], [drill, h.reach], bottom), "chamfer");
      if (h.teeth.length > 0)
        p.line("d-flank", ...h.teeth.map(([tx, ty]): Point => [x + side * (tx - x), ty]));
    }
  });
  if (csk)
    p.of("csk", () =>
      p.face("d-void d-line", [
        [x - csk.half, surface],
        [x + csk.half, surface],
        [high, csk.y],
        [low, csk.y],
      ]),
    );
  p.line("d-line", ...hole);
  if (!h.through) p.line("d-thin", [low, Math.min(end, bottom)], [high, Math.min(end, bottom)]);
  const mouth = csk?.half ?? halfDrill;
  p.line("d-line", [left, surface], [x - mouth, surface]);
  p.line("d-line", [x + mouth, surface], [right, surface]);
  if (back === undefined) p.line("d-thin d-open", [left, bottom], [right, bottom]);
  else {
    const gap = h.through ? halfDrill : 0;
    p.line("d-line", [left, back], [x - gap, back]);
    p.line("d-line", [x + gap, back], [right, back]);
  }
  for (const edge of [left, right]) p.curve("d-thin", brokenEdge(edge, surface, bottom), bottom);
  p.line("d-axis", [x, surface - 8], [x, Math.max(point, bottom) + 8]);
}

/** A triangle no lower than a line. */
function clipped(a: Point, b: Point, tip: Point, low: number): Point[] {
  if (tip[1] <= low) return [a, b, tip];
  const t = (low - b[1]) / (tip[1] - b[1]);
  return [a, b, [b[0] + (tip[0] - b[0]) * t, low], [a[0], low]];
}

/** What is wrong, drawn where it is wrong: thick and lined in the colour of refusal. */
function faults(p: Pad, r: Reader, h: HolePlan): void {
  const { x, bottom, halfDrill, halfMajor, surface } = h;
  const [low, high] = [x - halfDrill, x + halfDrill];
  const bad = (...points: Point[]): void => p.face("d-badline", points, "bad");
  if (r.n("shoulder") === undefined) {
    for (const wall of [low, high])
      p.line("d-badline", [wall, surface], [wall, Math.min(h.shoulder, bottom)]);
  } else if (h.breaks === "point") {
    const half = halfDrill * ((h.tip - bottom) / (h.tip - h.shoulder));
    bad([x - half, bottom], [x + half, bottom], [x, h.tip]);
  } else if (h.breaks === "drill") {
    bad([low, bottom], [high, bottom], [high, h.shoulder], [x, h.tip], [low, h.shoulder]);
  } else if (h.floor && (r.n("floor") ?? 0) < (r.n("leastfloor") ?? 0)) {
    bad([low, h.floor.from], [high, h.floor.from], [high, h.floor.to], [low, h.floor.to]);
  } else {
    for (const side of [1, -1]) {
      const end = Math.max(h.full, Math.min(h.reach, bottom), surface + 6);
      bad(
        [x + side * halfDrill, surface],
        [x + side * halfMajor, surface],
        [x + side * halfMajor, end],
        [x + side * halfDrill, end],
      );
    }
  }
}

/** Dimension lines from the surface at the right, of floor and tap mark at the left. */
function dimensions(p: Pad, h: HolePlan & { through: boolean }): void {
  const { x, surface, left, right, floor } = h;
  const from = { full: x + h.halfMajor, shoulder: x + h.halfDrill, tip: x, back: right };
  p.line("d-ext", [right + 2, surface], [dimensionAt(h, 0) + 4, surface]);
  h.depths.forEach(({ key, y }, i) => {
    if (h.through && key === "full") return;
    const at = dimensionAt(h, i);
    p.of(key === "back" ? "stock" : "depth", () => {
      p.line("d-ext", [from[key] + 3, y], [at + 3, y]);
      p.line("d-dim", [at, surface], [at, y]);
      p.head(at, y, 0, 1);
    });
  });
  const aside = left - 10;
  if (floor) {
    // Arrows inside, or pointing in from outside where it is thin.
    const out = floor.to - floor.from < 22 ? 14 : 0;
    const way = out ? 1 : -1;
    p.line("d-ext", [aside - 4, floor.from], [x - 4, floor.from]);
    p.line("d-ext", [aside - 4, floor.to], [left, floor.to]);
    p.line("d-dim", [aside, floor.from - out], [aside, floor.to + out]);
    p.head(aside, floor.from, 0, way);
    p.head(aside, floor.to, 0, -way);
  }
}

/** Figures in bold: the drill over the mouth, tap mark and floor at the left. */
function figures(p: Pad, r: Reader, h: HolePlan & { through: boolean }): void {
  if (p.faint) return;
  const { x, surface, halfDrill } = h;
  for (const wall of [x - halfDrill, x + halfDrill])
    p.line("d-thin", [wall, surface - 1], [wall, surface - 10]);
  const over = surface - 6;
  p.line("d-dim", [x - halfDrill - 12, over], [x + halfDrill + 12, over]);
  p.head(x - halfDrill, over, 1, 0);
  p.head(x + halfDrill, over, -1, 0);
  const aside = h.left - 10;
  const column: { name: string; key: string; y: number; care?: boolean }[] = [];
  if (r.t("mark") && h.reach > surface + 30) {
    p.line("d-ext", [aside - 4, h.reach], [x - halfDrill - 3, h.reach]);
    p.line("d-dim", [aside, surface], [aside, h.reach]);
    p.head(aside, h.reach, 0, 1);
    column.push({ name: "tap mark", key: "mark", y: (surface + h.reach) / 2 });
  }
  if (h.floor && r.t("floor")) {
    const care = (r.n("floor") ?? 0) < (r.n("leastfloor") ?? 0);
    column.push({ name: care ? "▲ floor" : "floor", key: "floor", y: (h.floor.from + h.floor.to) / 2, care });
  }
  const low = Math.max(h.bottom, h.tip);
  const at = spread(
    column.map((f) => f.y),
    40,
    surface + 16,
    low - 8,
  );
  column.forEach((f, i) => {
    p.put(aside - 8, at[i]! - 3, f.name, f.care ? "d-care" : "d-name", "end");
    p.bold(bareOf(r.t(f.key)), aside - 8, at[i]! + 14, 60, "end");
    p.tell(`${f.name} ${r.t(f.key)}`);
  });
  for (const { key } of h.depths) {
    const [name, ways] = depths[key] ?? [];
    if (name && !h.through && r.t(ways!.worked!)) p.tell(`${name} ${r.t(ways!.worked!)}`);
  }
  if (h.through) p.put(x, h.bottom + 22, "right through", "d-name", "middle");
}
