/** A stud in its hole, a nut on a lug: what it needs, what strips, how tight. */
import { figure, stopped } from "./figures";
import type { Pad, Point } from "./pad";
import type { Reader } from "./read";

/** Heights above the plate, in diameters: lug, washer, nut, what stands past it. */
const [LUG, WASHER, NUT, PAST] = [0.85, 0.14, 0.88, 0.3];
const ABOVE = LUG + WASHER + NUT + PAST;

/** Where the figures at the left end, and where the boxes at the right stand. */
const [LEFT, RIGHT] = [96, 310];

/** A name over its figure, at the left. */
const aside = (p: Pad, r: Reader, key: string, name: string, y: number, k = "d-name"): boolean =>
  figure(p, r, key, name, [LEFT, y], "end", LEFT - 4, k);

/** The section: plate, stud, lug, washer and nut; gives where the levels stand. */
function section(p: Pad, dia: number, minor: number, goes: number, deep: number) {
  const v = p.view([-1.4 * dia, -deep, 1.4 * dia, ABOVE * dia], [104, 26, 246, 316], 190 / dia);
  const [X, Y] = [v.x, v.y];
  p.iron(v.left, Y(0), v.right, Y(-deep));
  p.box("d-void", X(-dia / 2), Y(0), X(dia / 2), Y(-goes) + 10);
  p.line(
    "d-line",
    [X(-dia / 2), Y(0)],
    [X(-dia / 2), Y(-goes) + 10],
    [X(dia / 2), Y(-goes) + 10],
    [X(dia / 2), Y(0)],
  );
  const lug = LUG * dia;
  for (const k of [-1, 1]) {
    const [a, b] = [X(k * 0.55 * dia), k < 0 ? v.left : v.right];
    p.box("d-metal", Math.min(a, b), Y(lug), Math.max(a, b), Y(0), "steel");
    p.line("d-line", [b, Y(lug)], [a, Y(lug)], [a, Y(0)], [b, Y(0)]);
  }
  const top = ABOVE * dia;
  const nut = lug + WASHER * dia;
  p.of("thread", () => p.box("d-tool", X(-minor / 2), Y(top), X(minor / 2), Y(-goes)));
  p.box("d-tool", X(-1.05 * dia), Y(nut), X(1.05 * dia), Y(lug));
  p.box("d-tool", X(-0.8 * dia), Y(nut + NUT * dia), X(0.8 * dia), Y(nut));
  for (const k of [-0.4, 0.4]) p.line("d-thin", [X(k * dia), Y(nut + NUT * dia)], [X(k * dia), Y(nut)]);
  p.line("d-axis", [X(0), Y(top) - 8], [X(0), Y(-deep) + 6]);
  return { X, Y, lug, nut, top, left: v.left, right: v.right };
}

type Drawn = ReturnType<typeof section>;

/** The thread that counts, in dye, or lined in the colour of refusal where it strips. */
function flanks(p: Pad, s: Drawn, dia: number, minor: number, usable: number, strips: boolean): void {
  p.of("length", () => {
    for (const k of [-1, 1]) {
      const [a, b] = [s.X((k * minor) / 2), s.X((k * dia) / 2)];
      p.box(strips ? "d-badline" : "d-zone", a, s.Y(0), b, s.Y(-usable), strips ? "bad" : "thread");
    }
  });
}

/** The box of the thread in the hole, on its dimension at the right. */
function depth(p: Pad, s: Drawn, goes: number): void {
  const at = s.right + 10;
  p.of("length", () => {
    p.line("d-ext", [s.right + 2, s.Y(0)], [at + 4, s.Y(0)]);
    p.line("d-ext", [s.X(0), s.Y(-goes)], [at + 4, s.Y(-goes)]);
    p.upright(at, s.Y(0), s.Y(-goes));
  });
}

function engage(p: Pad, r: Reader): false | void {
  const dia = r.need("dia");
  const [usable, needed] = [r.n("usable"), r.n("needed") ?? dia];
  const minor = r.n("minor") ?? dia * 0.85;
  const goes = r.typed("length") ?? needed;
  const s = section(p, dia, minor, goes, Math.max(goes, needed) * 1.18);
  const stop = stopped(p, r);
  const at = Math.max(s.Y(s.lug / 2), 104); // of the stud's box: a figure stands over it
  p.ask("thread", 50, at, { from: [s.X(-minor / 2), s.Y(s.lug * 0.4)], w: 92 });
  p.ask("length", RIGHT, Math.max(s.Y(-goes / 2), s.Y(0) + 30), {
    from: [s.right + 13, s.Y(-goes / 2)],
    w: 96,
  });
  p.ask("pull", RIGHT, 44, { from: [s.X(0) + 6, s.Y(s.top) - 6] });
  depth(p, s, goes);
  if (usable !== undefined) flanks(p, s, dia, minor, usable, stop);
  p.line("d-mark", [s.X(-dia * 0.75), s.Y(-needed)], [s.X(dia * 0.75), s.Y(-needed)]);
  pullArrow(p, s);
  const low = at + 42;
  aside(p, r, "breaks", "stud breaks", Math.min(s.Y(s.nut + 0.5 * dia), at - 58));
  aside(p, r, "needed", "needs", Math.min(Math.max(s.Y(-needed) - 6, low), 264));
  aside(
    p,
    r,
    "strip",
    "strips",
    Math.min(Math.max(s.Y(-needed) + 34, low + 40), 304),
    stop ? "d-warn" : "d-name",
  );
  p.tell(`Stud ${r.t("thread")}, thick line: thread needed`);
}

/** The pull, up from the stud. */
function pullArrow(p: Pad, s: Drawn): void {
  p.push(s.X(0), s.Y(s.top) + 2, s.X(0), s.Y(s.top) - 22);
}

function torque(p: Pad, r: Reader): false | void {
  const area = r.need("area");
  // The stress area is that of a circle a little under the pitch diameter.
  const minor = Math.sqrt((4 * area) / Math.PI) * 0.96;
  const dia = minor * 1.16;
  const usable = r.n("usable");
  const goes = r.typed("length") ?? usable ?? dia;
  const s = section(p, dia, minor, Math.max(goes, 0.2 * dia), Math.max(goes, 0.6 * dia) * 1.25);
  const stop = stopped(p, r);
  const at = Math.max(s.Y(s.lug / 2), 104); // of the stud's box: a figure stands over it
  const weak = stop ? r.word("weakest") : "";
  p.ask("thread", 50, at, { from: [s.X(-minor / 2), s.Y(s.lug * 0.4)], w: 92 });
  p.ask("torque", RIGHT, s.Y(s.nut + 0.3 * dia), {
    from: [s.X(0.95 * dia), s.Y(s.nut + 0.5 * dia)],
    worked: "torque",
    when: { tension: "" },
    w: 100,
  });
  p.ask("tension", 60, 44, {
    from: [s.X(0) - 4, s.Y(s.top) - 12],
    worked: "preload",
    when: { torque: "" },
    w: 116,
  });
  p.ask("length", RIGHT, Math.max(s.Y(-goes / 2), s.Y(0) + 34), {
    from: [s.right + 13, s.Y(-goes / 2)],
    w: 96,
  });
  depth(p, s, goes);
  if (usable !== undefined) flanks(p, s, dia, minor, usable, weak === "the hole's thread");
  else p.box("d-ghost", s.X(-dia / 2), s.Y(0), s.X(dia / 2), s.Y(-goes));
  if (weak === "the stud" || weak === "the stud's thread") {
    const waist: Point[] = [-1, 1].map((k): Point => [s.X((k * minor) / 2), s.Y(s.lug)]);
    for (const [x, y] of waist) {
      const to = x < s.X(0) ? x + 6 : x - 6;
      p.line("d-badline", [x, y], [to, s.Y(s.lug / 2)], [x, s.Y(0)]);
    }
  }
  if (weak === "the nut")
    p.box("d-badline", s.X(-0.8 * dia), s.Y(s.nut + NUT * dia), s.X(0.8 * dia), s.Y(s.nut));
  pullArrow(p, s);
  turn(p, s, dia);
  const low = Math.min(Math.max(s.Y(-goes / 2) - 12, at + 42), 264);
  aside(p, r, "strip", "strips", low, weak === "the hole's thread" ? "d-warn" : "d-name");
  aside(p, r, "usable", "full thread", low + 40);
  p.tell(`Stud ${r.t("thread")} with nut and washer`);
}

/** A wrench's turn round the nut. */
function turn(p: Pad, s: Drawn, dia: number): void {
  const [x, y] = [s.X(0), s.Y(s.nut + NUT * dia) - 4];
  const w = s.X(0.8 * dia) - x;
  p.curve("d-push", `M${x - w} ${y}A${w} ${w * 0.3} 0 0 0 ${x + w * 0.9} ${y - 3}`);
  p.head(x + w, y - 6, 6, -5, "d-pushhead", 11);
}

export const stud = { engage, torque };
