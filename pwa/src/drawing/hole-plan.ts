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
  /** The hole is to go through: what comes out of the back is meant. */
  through?: boolean;
  /** Countersink: diameter at the surface and depth. */
  cskDia?: number | undefined;
  cskDepth?: number | undefined;
  /** Pitch, where known: drawn as teeth when they are large enough to see. */
  pitch?: number | undefined;
}

/** A depth with a box: a level in the section, and the height of its box beside it. */
export interface Depth {
  key: "full" | "shoulder" | "tip" | "back";
  y: number;
  label: number;
}

export interface HolePlan {
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

/** The surface, and the room below it. */
const TOP = 70;
const DEEP = 244;
/** From one box to the next under it, name and all; the middle of the topmost and the lowest. */
const GAP = 60;
const [HIGH, LOW] = [40, 302];
const [LEFT, RIGHT] = [80, 204];
/** How wide a hole is drawn at most. */
const BROAD = 98;

const good = (n: number): boolean => Number.isFinite(n) && n >= 0;

/** Undefined when the sizes do not make a hole. */
export function holePlan(s: HoleSizes): HolePlan | undefined {
  if (![s.drill, s.major, s.full, s.reach, s.shoulder, s.tip].every(good)) return undefined;
  if (s.drill <= 0 || s.tip <= 0 || s.shoulder > s.tip) return undefined;
  const stock = s.stock !== undefined && good(s.stock) && s.stock > 0 ? s.stock : undefined;
  const broad = Math.max(s.major, s.drill, s.cskDia ?? 0);
  const under = stock ?? s.tip + Math.max(s.drill * 0.6, s.tip * 0.12);
  const deep = Math.max(under, s.tip, s.through ? 0 : s.reach);
  const scale = fitScale({ w: broad, h: deep }, { w: BROAD, h: DEEP });
  if (scale === 0) return undefined;

  const x = (LEFT + RIGHT) / 2;
  const y = (depth: number): number => TOP + depth * scale;
  const list: { key: Depth["key"]; at: number }[] = s.through
    ? [
        { key: "full", at: under / 2 },
        { key: "back", at: under },
      ]
    : [
        { key: "full", at: s.full },
        { key: "shoulder", at: s.shoulder },
        { key: "tip", at: s.tip },
        { key: "back", at: under },
      ];
  list.sort((a, b) => a.at - b.at);
  const labels = spread(
    list.map((d) => y(d.at) - 4),
    GAP,
    HIGH,
    Math.min(LOW, Math.max(y(deep), HIGH + (list.length - 1) * GAP)),
  );
  const depths = list.map((d, i): Depth => ({ key: d.key, y: y(d.at), label: labels[i]! }));

  const halfDrill = (s.drill / 2) * scale;
  const halfMajor = (Math.max(s.major, s.drill) / 2) * scale;
  const cskDia = s.cskDia ?? 0;
  const csk =
    cskDia > s.drill && (s.cskDepth ?? 0) > 0
      ? { half: (cskDia / 2) * scale, y: y(Math.min(s.cskDepth ?? 0, s.shoulder)) }
      : undefined;

  const breaks =
    s.through || stock === undefined || s.tip <= stock ? "no" : s.shoulder < stock ? "point" : "drill";
  return {
    scale,
    x,
    left: LEFT,
    right: RIGHT,
    surface: TOP,
    back: stock === undefined ? undefined : y(stock),
    bottom: y(under),
    halfDrill,
    halfMajor,
    full: y(s.full),
    reach: y(s.reach),
    shoulder: y(s.shoulder),
    tip: y(s.tip),
    csk,
    teeth: teeth(s, scale, x + halfDrill, halfMajor - halfDrill, y, Math.min(under, s.shoulder)),
    depths,
    breaks,
    floor: stock !== undefined && s.tip < stock ? { from: y(s.tip), to: y(stock) } : undefined,
  };
}

/**
 * The V flanks on the right wall: full height to the full depth, then fading over the tap's
 * chamfer; none beyond the stock.
 */
function teeth(
  s: HoleSizes,
  scale: number,
  wall: number,
  height: number,
  y: (depth: number) => number,
  most: number,
): [number, number][] {
  const p = s.pitch ?? 0;
  const step = p * scale;
  if (!(p > 0) || step < 5 || height < 2 || s.full / p > 200) return [];
  const out: [number, number][] = [[wall, y(0)]];
  const end = Math.min(s.reach, most);
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
