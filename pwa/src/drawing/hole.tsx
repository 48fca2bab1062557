import type { Answer } from "../engine/contract.gen";
import { W } from "../text/words";
import { holePlan, type HolePlan, type HoleSizes } from "./hole-plan";
import type { Mark } from "./pad";
import { Sheet, Tag } from "./parts";
import { brokenEdge, path, px } from "./scale";

const D = W.drawing;

/** Where the labels stand. */
const TAGS = 256;

/** Id of the clip path that hides what is drilled beyond the stock. */
const WITHIN = "within-stock";

function num(answer: Answer, key: string): number | undefined {
  const v = answer.results[key]?.value ?? answer.inputs[key]?.value;
  return typeof v === "number" && Number.isFinite(v) ? v : undefined;
}

/** Reads the sizes of the answer; undefined when one that the drawing needs is missing. */
function sizesOf(answer: Answer): HoleSizes | undefined {
  const drill = num(answer, "dia");
  const full = num(answer, "full") ?? 0;
  const shoulder = num(answer, "shoulder");
  const tip = num(answer, "tip");
  if (drill === undefined || shoulder === undefined || tip === undefined) return undefined;
  const reach = num(answer, "reach") ?? full;
  return {
    drill,
    major: num(answer, "major") ?? drill,
    full,
    reach,
    shoulder,
    tip,
    stock: num(answer, "stock") ?? (isThrough(answer) ? (num(answer, "depth") ?? full) : undefined),
    cskDia: num(answer, "cskdia"),
    cskDepth: num(answer, "cskdepth"),
    pitch: num(answer, "pitch"),
  };
}

/** A through hole: its depth is the stock's thickness, and breaking out of the back is no fault. */
const isThrough = (answer: Answer): boolean => answer.inputs["stock"]?.value === "through";

const across = (x0: number, x1: number, y: number): string => `M${px(x0)} ${px(y)}H${px(x1)}`;
const upright = (x: number, y0: number, y1: number): string => `M${px(x)} ${px(y0)}V${px(y1)}`;
const box = (x0: number, y0: number, x1: number, y1: number): string =>
  `${across(x0, x1, y0)}V${px(y1)}H${px(x0)}Z`;

/** A slim arrowhead with its point at a place, pointing along one of the axes. */
function arrow(x: number, y: number, dx: number, dy: number): Mark {
  const [bx, by] = [px(x) - 9 * dx, px(y) - 9 * dy];
  const wing = (w: number): [number, number] => [bx + w * dy, by + w * dx];
  return { k: "d-arrow", d: path([[px(x), px(y)], wing(3.2), wing(-3.2)], true) };
}

/** Stock in cast iron's section lining, thread zone in dye blue, depths from the surface. */
function marksOf(p: HolePlan): Mark[] {
  const { x, surface, left, right, bottom, back, csk, floor, halfDrill, halfMajor } = p;
  const [low, high] = [x - halfDrill, x + halfDrill];
  const marks: Mark[] = [];
  const add = (k: string, d: string, lining?: string, within?: string) => {
    marks.push({ k, d, within });
    if (lining) marks.push({ k: "", d, lining, within });
  };
  const hole = `${upright(low, surface, p.shoulder)}L${x} ${px(p.tip)}L${px(high)} ${px(p.shoulder)}V${surface}`;
  add("d-metal", box(left, surface, right, bottom), "iron");
  add("d-void", `${hole}Z`);
  for (const side of [1, -1]) {
    const [drill, major] = [x + side * halfDrill, x + side * halfMajor];
    if (p.full > surface) add("d-zone", box(drill, surface, major, p.full), "thread", WITHIN);
    const run = `${across(drill, major, p.full)}L${px(drill)} ${px(p.reach)}Z`;
    if (p.reach > p.full) add("d-zone", run, "chamfer", WITHIN);
  }
  if (csk) {
    const sink = `${across(x - csk.half, x + csk.half, surface)}L${px(high)} ${px(csk.y)}H${px(low)}Z`;
    add("d-void d-line", sink);
  }
  for (const side of [1, -1]) {
    add("d-flank", path(p.teeth.map(([tx, ty]) => [x + side * (tx - x), ty])), undefined, WITHIN);
  }
  add("d-line", hole);
  add("d-thin", across(low, high, p.shoulder));
  const mouth = csk?.half ?? halfDrill;
  add("d-line", across(left, x - mouth, surface) + across(x + mouth, right, surface));
  if (back === undefined) add("d-thin d-open", across(left, right, bottom));
  else if (p.breaks === "drill") add("d-line", across(left, low, back) + across(high, right, back));
  else add("d-line", across(left, right, back));
  for (const edge of [left, right]) add("d-thin", brokenEdge(edge, surface, bottom));
  add("d-axis", upright(x, surface - 14, Math.max(p.tip, bottom) + 10));

  for (const wall of [low, high]) add("d-thin", upright(wall, surface - 4, surface - 22));
  add("d-dim", across(low - 16, high + 16, surface - 17));
  marks.push(arrow(low, surface - 17, 1, 0), arrow(high, surface - 17, -1, 0));
  add("d-thin", across(right + 2, TAGS - 12, surface));
  const from = { full: x + halfMajor, reach: x + halfMajor, shoulder: high, tip: x, back: right };
  p.depths.forEach(({ key, y, label }, i) => {
    // The shallowest stands outermost, so that no leader crosses a dimension line.
    const cx = right + 8 + (p.depths.length - 1 - i) * 8;
    add("d-ext", across(from[key] + 3, cx + 3, y));
    add("d-dim", upright(cx, surface, y));
    marks.push(arrow(cx, y, 0, 1));
    add("d-ext", `M${px(cx + 3)} ${px(y)}L${TAGS - 14} ${px(label)}H${TAGS - 4}`);
  });
  if (floor) {
    // Arrows inside, or pointing in from outside where it is thin.
    const out = floor.to - floor.from < 22 ? 16 : 0;
    const way = out ? 1 : -1;
    add("d-ext", across(left - 22, x - 4, floor.from));
    add("d-ext", across(left - 22, left, floor.to));
    add("d-dim", upright(left - 16, floor.from - out, floor.to + out));
    marks.push(arrow(left - 16, floor.from, 0, way), arrow(left - 16, floor.to, 0, -way));
  }
  return marks;
}

/** Section through the hole. */
export function HoleDrawing({ answer }: { answer: Answer }) {
  const sizes = sizesOf(answer);
  const p = sizes && holePlan(sizes);
  if (!p) return <p class="quiet">{D.cannot}</p>;
  const text = (key: string): string =>
    answer.results[key]?.shown ?? answer.results[key]?.text ?? answer.inputs[key]?.text ?? "";
  const names: Record<string, [string, string]> = {
    full: [D.full, text("full")],
    reach: [D.reach, text("reach")],
    shoulder: [D.shoulder, text("shoulder")],
    tip: [D.tip, text("tip")],
    back: [D.back, isThrough(answer) ? text("full") : text("stock")],
  };
  const through = p.breaks !== "no" && !isThrough(answer);
  const says = [
    `${D.drill} ${text("drill")}`,
    ...p.depths.map((d) => names[d.key]!.join(" ")),
    ...(p.floor ? [`${D.floor} ${text("floor")}`] : []),
    ...(through ? [D.through] : []),
  ];
  return (
    <Sheet width={p.width} height={p.height} says={D.describe(says)} marks={marksOf(p)}>
      <clipPath id={WITHIN}>
        <path d={box(p.left, p.surface, p.right, p.bottom)} />
      </clipPath>
      <Tag beside x={p.x + p.halfDrill + 22} y={p.surface - 12} name={D.drill} size={text("drill")} />
      {p.depths.map((d) => (
        <Tag key={d.key} x={TAGS} y={d.label - 3} name={names[d.key]![0]} size={names[d.key]![1]} />
      ))}
      {p.floor && <Tag beside x={p.left - 8} y={p.floor.to + 26} name={D.floor} size={text("floor")} />}
      {through && (
        <>
          <path class="d-warn-sign" d={`M13 ${px(p.height - 23)}l9 16h-18z`} />
          <text class="d-warn" x={28} y={px(p.height - 8)}>
            {D.through}
          </text>
        </>
      )}
    </Sheet>
  );
}
