/**
 * Where each line of the hole's section goes. Pure: sizes in, pixels out. All sizes in one unit,
 * down is positive.
 */
import { fitScale, spread } from "./scale";

export interface HoleSizes {
  /** Drill diameter. */
  drill: number;
  /** Thread's major diameter. */
  major: number;
  /** Depth of full thread. */
  full: number;
  /** Depth the tap's end goes to: full thread and its chamfer. */
  reach: number;
  /** Depth of the drill's full diameter. */
  shoulder: number;
  /** Depth of the drill's point. */
  tip: number;
  /** Stock thickness; undefined when it was not given. */
  stock?: number | undefined;
  /** Countersink: diameter at the surface and depth. */
  cskDia?: number | undefined;
  cskDepth?: number | undefined;
  /** Pitch, where known: drawn as teeth when they are large enough to see. */
  pitch?: number | undefined;
}

interface Depth {
  key: "full" | "reach" | "shoulder" | "tip" | "back";
  /** Where it is, and where its label goes. */
  y: number;
  label: number;
}

export interface HolePlan {
  width: number;
  height: number;
  scale: number;
  /** Axis of the hole. */
  x: number;
  /** Left and right end of the stock. */
  left: number;
  right: number;
  surface: number;
  /** Back face, undefined when the stock is unknown (drawn broken off at bottom). */
  back: number | undefined;
  /** Lowest stock drawn. */
  bottom: number;
  halfDrill: number;
  halfMajor: number;
  full: number;
  reach: number;
  shoulder: number;
  tip: number;
  csk: { half: number; y: number } | undefined;
  /** Thread flanks, right side, as points from the top down; empty when too small to see. */
  teeth: [number, number][];
  depths: Depth[];
  /** The point, or the whole drill, comes out of the back. */
  breaks: "no" | "point" | "drill";
  /** Where the floor is measured, when there is one. */
  floor: { from: number; to: number } | undefined;
}

const WIDTH = 360;
const TOP = 56;
const FOOT = 34;
const MOST_HEIGHT = 330;
const LABEL_GAP = 40;

const good = (n: number): boolean => Number.isFinite(n) && n >= 0;

/** Undefined when the sizes do not make a hole. */
export function holePlan(s: HoleSizes): HolePlan | undefined {
  if (![s.drill, s.major, s.full, s.reach, s.shoulder, s.tip].every(good)) return undefined;
  if (s.drill <= 0 || s.tip <= 0 || s.shoulder > s.tip) return undefined;
  const stock = s.stock !== undefined && good(s.stock) && s.stock > 0 ? s.stock : undefined;
  const broad = Math.max(s.major, s.drill, s.cskDia ?? 0);
  const under = stock ?? s.tip + Math.max(s.drill * 0.6, s.tip * 0.12);
  const deep = Math.max(under, s.tip, s.reach);
  const scale = fitScale({ w: broad, h: deep }, { w: 104, h: MOST_HEIGHT });
  if (scale === 0) return undefined;

  const left = 34;
  const right = 196;
  const x = (left + right) / 2;
  const y = (depth: number): number => TOP + depth * scale;
  const bottom = y(under);
  const lowest = Math.max(bottom, y(deep));

  const list: { key: Depth["key"]; at: number }[] = [];
  if (s.full > 0) list.push({ key: "full", at: s.full });
  if (s.reach > s.full) list.push({ key: "reach", at: s.reach });
  list.push({ key: "shoulder", at: s.shoulder });
  if (s.tip > s.shoulder) list.push({ key: "tip", at: s.tip });
  if (stock !== undefined) list.push({ key: "back", at: stock });
  list.sort((a, b) => a.at - b.at);
  const need = (list.length - 1) * LABEL_GAP;
  const low = TOP + 14;
  const high = Math.max(lowest, low + need);
  const labels = spread(
    list.map((d) => y(d.at)),
    LABEL_GAP,
    low,
    high,
  );
  const depths = list.map((d, i): Depth => ({ ...d, y: y(d.at), label: labels[i]! }));

  const halfDrill = (s.drill / 2) * scale;
  const halfMajor = (Math.max(s.major, s.drill) / 2) * scale;
  const cskDia = s.cskDia ?? 0;
  const csk =
    cskDia > s.drill && (s.cskDepth ?? 0) > 0
      ? { half: (cskDia / 2) * scale, y: y(Math.min(s.cskDepth ?? 0, s.shoulder)) }
      : undefined;

  const breaks = stock === undefined || s.tip <= stock ? "no" : s.shoulder < stock ? "point" : "drill";
  return {
    width: WIDTH,
    height: Math.ceil(Math.max(lowest, high + 12) + FOOT),
    scale,
    x,
    left,
    right,
    surface: TOP,
    back: stock === undefined ? undefined : y(stock),
    bottom,
    halfDrill,
    halfMajor,
    full: y(s.full),
    reach: y(s.reach),
    shoulder: y(s.shoulder),
    tip: y(s.tip),
    csk,
    teeth: teeth(s, scale, x + halfDrill, halfMajor - halfDrill, y),
    depths,
    breaks,
    floor: stock !== undefined && s.tip < stock ? { from: y(s.tip), to: y(stock) } : undefined,
  };
}

/**
 * The V flanks on the right wall: full height to the full depth, then fading over the tap's
 * chamfer.
 */
function teeth(
  s: HoleSizes,
  scale: number,
  wall: number,
  height: number,
  y: (depth: number) => number,
): [number, number][] {
  const p = s.pitch ?? 0;
  const step = p * scale;
  if (!(p > 0) || step < 5 || height < 2 || s.full / p > 200) return [];
  const out: [number, number][] = [[wall, y(0)]];
  const end = Math.min(s.reach, s.shoulder);
  for (let at = p; at <= end + 1e-9; at += p) {
    const mid = at - p / 2;
    const fade = mid <= s.full || s.reach <= s.full ? 1 : Math.max(0, (s.reach - mid) / (s.reach - s.full));
    out.push(
      [wall + height * fade, y(mid - p * 0.0625)],
      [wall + height * fade, y(mid + p * 0.0625)],
      [wall, y(at)],
    );
  }
  return out;
}
