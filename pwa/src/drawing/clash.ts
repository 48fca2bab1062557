/**
 * What two hands wrote of one thing, on one drawing. A hole's section is split at its centre line:
 * left as one wrote it, right as the other; a length is a bar for each, to one scale from one zero.
 */
import { drawn, Pad, short, times, WIDTH, type Picture, type Point } from "./pad";
import { brokenEdge, fitScale } from "./scale";
import { B } from "../text/jobbook";

/** Sizes in inches by key, and the texts of those that differ. */
export interface Half {
  name: string;
  sizes: Readonly<Record<string, number>>;
  texts: Readonly<Record<string, string>>;
  through?: boolean;
}

export interface Shown {
  picture: Picture;
  /** What is wrong with each, in a few words. */
  wrong: string[];
}

/** Words of an answer do not stand here. */
const silent = { t: () => "" };
const [TOP, LEFT, RIGHT, X] = [44, 78, 282, WIDTH / 2];

const say = (n: number, mm: boolean): string => {
  const text = (mm ? n * 25.4 : n).toFixed(mm ? 2 : 3).replace(/\.?0+$/, "");
  return mm ? text : text.replace(/^0\./, ".");
};

/** Two sizes apart, as they are told. */
export const apartBy = (a: number, b: number, mm: boolean): string => {
  const d = Math.abs(a - b);
  return say(d, mm) === "0" ? (mm ? d * 25.4 : d).toPrecision(1).replace(/^0\./, ".") : say(d, mm);
};

interface Cut {
  half: Half;
  /** -1 left, 1 right. */
  k: number;
  /** Half the drill and half the thread, in inches. */
  drill: number;
  thread: number;
  depth: number | undefined;
  tip: number;
}

function cutOf(half: Half, k: number, other: Half, deep: number): Cut {
  const of = (s: Half): number | undefined => {
    const { thread, threadpitch = 0, dia, nominal } = s.sizes;
    // A tapping drill is the thread less its pitch: common practice.
    return dia ?? nominal ?? (thread && thread - threadpitch);
  };
  const drill = (of(half) ?? of(other) ?? deep * 0.4) / 2;
  const { depth, thread } = half.sizes;
  // Point of 118 degrees: 0.3 of the diameter, by cone geometry.
  const tip = depth === undefined ? 0 : depth + 0.6 * drill;
  return { half, k, drill, thread: Math.max(drill, (thread ?? 0) / 2), depth, tip };
}

/** One section of a hole, of which each half is another hand's; thick is the plate's. */
export function splitHole(
  left: Half,
  right: Half,
  thick: number | undefined,
  mm: boolean,
): Shown | undefined {
  const depths = [left, right].flatMap(({ sizes }) => [sizes["depth"] ?? 0, sizes["full"] ?? 0]);
  const deep = Math.max(...depths, thick ?? 0);
  if (!(deep > 0)) return undefined;
  const cuts = [cutOf(left, -1, right, deep), cutOf(right, 1, left, deep)];
  const tip = Math.max(...cuts.map((c) => c.tip));
  const end = thick ?? Math.max(tip, deep) * 1.12;
  const broad = 2 * Math.max(...cuts.map((c) => c.thread));
  const s = fitScale({ w: broad, h: Math.max(end, tip, deep) }, { w: 104, h: 176 });
  if (!s) return undefined;
  const p = new Pad(silent);
  const y = (n: number): number => TOP + n * s;
  const low = y(end);
  p.box("d-metal", LEFT, TOP, RIGHT, low, "iron");
  const wrong = cuts.map((c) => cutHalf(p, c, s, end, thick, mm));
  const [a, b] = cuts.map((c) => c.k * c.thread * s + X) as [number, number];
  p.line("d-line", [LEFT, TOP], [a, TOP]);
  p.line("d-line", [b, TOP], [RIGHT, TOP]);
  if (thick === undefined) p.line("d-thin d-open", [LEFT, low], [RIGHT, low]);
  else {
    const open = (c: Cut): number => (c.half.through ? c.k * c.drill * s : 0);
    p.line("d-line", [LEFT, low], [X + open(cuts[0]!), low]);
    p.line("d-line", [X + open(cuts[1]!), low], [RIGHT, low]);
    p.upright(LEFT + 14, TOP, low);
    const mid = (TOP + low) / 2;
    p.box("d-ground", LEFT + 3, mid - 17, LEFT + 42, mid + 17);
    p.put(LEFT + 6, mid - 3, B.clash.plate);
    p.put(LEFT + 6, mid + 13, say(thick, mm));
  }
  for (const edge of [LEFT, RIGHT]) p.curve("d-thin", brokenEdge(edge, TOP, low), low);
  p.line("d-split", [X, TOP - 22], [X, Math.max(low, y(tip)) + 10]);
  for (const c of cuts) sizesOf(p, c, s);
  wrong.forEach((text, i) => {
    if (text)
      p.put(X + cuts[i]!.k * 10, Math.max(low, y(cuts[i]!.tip)) + 18, text, "d-warn", i ? "start" : "end");
  });
  p.tell(`One section: left ${told(left)}, right ${told(right)}`);
  wrong.forEach((text) => text && p.tell(text));
  return { picture: p.done(), wrong };
}

const told = (h: Half): string => `${h.name} ${Object.values(h.texts).join(", ")}`;

/** Half of the hole; what it does wrong is drawn where it does it, and given in words. */
function cutHalf(p: Pad, c: Cut, s: number, end: number, thick: number | undefined, mm: boolean): string {
  const { k, drill, thread, depth } = c;
  const { through, sizes } = c.half;
  const [x, wall, low] = [X, X + k * drill * s, TOP + end * s];
  const y = (n: number): number => TOP + n * s;
  const bottom = through ? end : depth;
  if (bottom === undefined) {
    // How deep it goes nobody wrote.
    p.line("d-ghost", [wall, TOP], [wall, low]);
    return "";
  }
  const shoulder = Math.min(y(bottom), low);
  const point: Point = through ? [x, low] : [x, Math.min(y(c.tip), low)];
  p.face("d-void", [[x, TOP], [wall, TOP], [wall, shoulder], point]);
  const full = Math.min(sizes["full"] ?? bottom, end);
  if (thread > drill) p.box("d-zone", wall, TOP, X + k * thread * s, y(full), "thread");
  p.line("d-line", [wall, TOP], [wall, shoulder], ...(through ? [] : [point]));
  if (!through && thick !== undefined && c.tip > thick) {
    const out: Point[] =
      bottom > thick
        ? [
            [x, low],
            [wall, low],
            [wall, y(bottom)],
            [x, y(c.tip)],
          ]
        : [
            [x, low],
            [x + k * ((c.tip - thick) / 0.6) * s, low],
            [x, y(c.tip)],
          ];
    p.face("d-badline", out, "bad");
    return bottom > thick ? B.clash.through(say(bottom - thick, mm)) : B.clash.point(say(c.tip - thick, mm));
  }
  const past = (sizes["full"] ?? 0) - bottom;
  if (past <= 0) return "";
  p.box("d-badline", wall, y(bottom), X + k * thread * s, y(full), "bad");
  return B.clash.past(say(past, mm));
}

/** What is told of a half: its depths beside it, its width over it. */
function sizesOf(p: Pad, { half, k, drill, thread }: Cut, s: number): void {
  const over = ["thread", "dia", "nominal"].flatMap((key) => half.texts[key] ?? []).join(" ");
  const anchor = k < 0 ? "end" : "start";
  p.put(X + k * 10, 14, short(half.name, "d-name", 150), "d-name", anchor);
  if (over) p.put(X + k * 10, 34, short(over, "d-size", 150), "d-size", anchor);
  ["depth", "full"].forEach((key) => {
    const [text, size] = [half.texts[key], half.sizes[key]];
    if (!text || size === undefined) return;
    const both = half.texts["depth"] && half.texts["full"];
    const at = (k < 0 ? LEFT : RIGHT) + k * (key === "depth" && both ? 58 : 22);
    const y = TOP + size * s;
    p.line("d-ext", [X + k * (key === "full" ? thread : drill) * s, y], [at + k * 6, y]);
    p.line("d-ext", [k < 0 ? LEFT : RIGHT, TOP], [at + k * 6, TOP]);
    p.upright(at, TOP, y);
    const mid = (TOP + y) / 2;
    p.box("d-ground", at - 24, mid - 12, at + 24, mid + 10);
    p.bold(text, at, mid + 6, 60, "middle");
  });
}

/** A bar for each of several lengths, to one scale from one zero. */
export function bars(list: readonly { name: string; size: number; text: string }[]): Shown | undefined {
  const all = [0, ...list.map((b) => b.size)];
  const [from, to] = [Math.min(...all), Math.max(...all)];
  if (!(to > from)) return undefined;
  const p = new Pad(silent);
  const [x0, room] = [16, 300];
  const s = room / (to - from);
  const sizes = list.map((b) => b.size);
  const gap = Math.max(...sizes) - Math.min(...sizes);
  // A difference too small to be seen is drawn larger at the ends.
  const by = gap * s < 14 && from === 0 && gap > 0 ? times(24 / (gap * s)) : 1;
  const most = Math.max(...sizes);
  const x = (n: number): number => x0 + (n - from) * s - (n === 0 ? 0 : (most - n) * s * (by - 1));
  const zero = x(0);
  list.forEach((b, i) => {
    const y = 40 + i * 62;
    const end = b.size === 0 ? zero : x(b.size);
    p.iron(Math.min(zero, end), y, Math.max(zero, end, Math.min(zero, end) + 2), y + 28);
    p.put(x0 + 6, y - 8, short(b.name, "d-name", 110));
    p.bold(b.text, 132, y - 7, 140);
    p.tell(`${b.name} ${b.text}`);
  });
  const low = 40 + list.length * 62 - 26;
  p.line("d-split", [zero, 22], [zero, low]);
  if (gap > 0) {
    const [a, b] = [x(Math.min(...sizes)), x(most)];
    list.forEach((one, i) => p.line("d-ext", [x(one.size), 68 + i * 62], [x(one.size), low + 4]));
    p.level(a, b, low);
  }
  if (by > 1) p.note(`difference ${drawn(by)}`);
  return { picture: p.done(), wrong: list.map(() => "") };
}
