/** Matching sizes: sections and tolerance zones. */
import { life, type Pad, polar, ROOM, span, type Point } from "./pad";
import type { Reader } from "./read";

/** A bolt in its thread: how much of it counts and how much is needed. */
function engage(p: Pad, r: Reader) {
  const [dia, usable, needed] = [r.need("dia"), r.n("usable"), r.n("needed")];
  const minor = r.n("minor") ?? dia * 0.85;
  const typed = r.typed("length");
  const deep = Math.max(usable ?? 0, needed ?? 0, typed ?? 0, r.n("equal") ?? 0);
  if (!(deep > 0)) return false;
  const v = p.view([-dia * 1.2, -deep * 1.12, dia * 1.2, 0.35 * dia], [24, 20, ROOM - 20, 320], 180 / dia);
  const [X, Y] = [v.x, (d: number) => v.y(-d)];
  const bottom = Y(deep * 1.12);
  p.box("d-metal", v.left, Y(0), v.right, bottom, "iron");
  p.box("d-void", X(-dia / 2), Y(0), X(dia / 2), bottom);
  p.iron(X(-minor / 2), Y(0) - 16, X(minor / 2), Y(usable ?? deep), "steel");
  for (const k of [-1, 1]) {
    if (usable !== undefined)
      p.box("d-zone", X((k * minor) / 2), Y(0), X((k * dia) / 2), Y(usable), "thread");
    if (usable !== undefined && needed !== undefined && needed > usable)
      p.box("d-badline", X((k * minor) / 2), Y(usable), X((k * dia) / 2), Y(needed), "bad");
    p.line("d-line", [k < 0 ? v.left : v.right, Y(0)], [X((k * dia) / 2), Y(0)], [X((k * dia) / 2), bottom]);
  }
  const e = X(dia / 2);
  p.tag(e, Y(0), "Thread", "=thread");
  if (usable !== undefined) p.tag(e, Y(usable), "Thread there is", "=usable");
  if (needed !== undefined) p.tag(e, Y(needed), "Needed", "=needed");
  if (r.n("equal") !== undefined && r.n("equal") !== needed)
    p.tag(e, Y(r.need("equal")), "Equal strength", "=equal");
  if (usable !== undefined && needed !== undefined && needed > usable)
    p.warn("Too short: the widely lined part is missing.");
  p.note("To scale. Close lining: the thread that counts.");
}

/** A screw in its clearance hole, seen along it. */
function clear(p: Pad, r: Reader) {
  const [screw, hole] = [r.need("screw", "size"), r.need("dia")];
  const most = r.n("max") ?? hole;
  const R = 172 / Math.max(most, hole, screw);
  const [x, y] = [112, 112];
  p.iron(8, 8, ROOM, 216);
  p.round("d-void d-line", x, y, (hole / 2) * R);
  p.round("d-metal", x, y, (screw / 2) * R, "steel");
  p.round("d-line", x, y, (screw / 2) * R);
  if (most > hole) p.round("d-ghost", x, y, (most / 2) * R);
  p.line("d-axis", [x - 100, y], [x + 100, y]);
  p.line("d-axis", [x, y - 100], [x, y + 100]);
  const at = (d: number, a: number): Point => polar(x, y, (d / 2) * R, a);
  p.tag(...at(hole, 40), "Drill", `${r.t("drill")}`);
  p.tag(...at(hole, 20), "Hole drilled", "=dia");
  p.tag(...at(screw, 0), "Screw", "=screw");
  p.tag(...at(most, -34), "Hole at most", "=max");
  p.note("To scale.");
}

/** A counterbore or spotface in section. */
function bore(p: Pad, r: Reader) {
  const [big, hole] = [r.need("bore"), r.need("dia", "hole")];
  const depth = r.n("depth") ?? 0;
  const left = r.n("left");
  const thick = r.typed("thick") ?? depth + Math.max(hole, (r.n("high") ?? 0) * 0.5);
  const high = r.n("high") ?? 0;
  const head = r.n("head") ?? 0;
  const stand = Math.max(0, high - depth);
  const v = p.view([-big * 0.85, -thick, big * 0.85, Math.max(stand, thick * 0.06)], [10, 20, ROOM + 4, 280]);
  const [X, Y] = [v.x, (d: number) => v.y(-d)];
  p.box("d-metal", v.left, Y(0), v.right, Y(thick), "iron");
  p.box("d-void", X(-hole / 2), Y(0), X(hole / 2), Y(thick));
  p.box("d-void", X(-big / 2), Y(0) - 1, X(big / 2), Y(depth));
  for (const k of [-1, 1]) {
    const e = k < 0 ? v.left : v.right;
    p.line(
      "d-line",
      [e, Y(0)],
      [X((k * big) / 2), Y(0)],
      [X((k * big) / 2), Y(depth)],
      [X((k * hole) / 2), Y(depth)],
      [X((k * hole) / 2), Y(thick)],
    );
    if (left !== undefined) p.line("d-line", [X((k * hole) / 2), Y(thick)], [e, Y(thick)]);
  }
  if (head > 0 && high > 0) p.box("d-ghost", X(-head / 2), Y(depth - high), X(head / 2), Y(depth));
  p.line("d-axis", [X(0), Y(0) - 12], [X(0), Y(thick) + 10]);
  p.tag(X(big / 2), Y(depth * 0.4), depth > 0 ? "Counterbore" : "Spotface", "=bore");
  if (depth > 0) p.tag(X(big / 2), Y(depth), "Its depth", "=depth");
  p.tag(X(hole / 2), Y((depth + thick) / 2), "Hole", `${r.t("drill")}`);
  if (left !== undefined) p.tag(v.right, Y(thick), "Left under it", "=left");
  p.note(`To scale. Dashes: the head.${left === undefined ? " Thickness not known." : ""}`);
}

/** Two holes that meet as badly as they may. */
function room(p: Pad, r: Reader) {
  const bolt = r.need("bolt");
  const hole = r.n("hole") ?? r.need("need");
  const plate = r.typed("plate") ?? bolt;
  const depth = r.typed("depth") ?? bolt * 1.5;
  const floating = r.word("how") === "floating";
  const under = floating ? (r.typed("hole2") ?? hole) : bolt;
  const slack = Math.max(0, hole - bolt) / 2;
  const w = Math.max(hole, under) * 1.1;
  const v = p.view([-w, -depth, w, plate + bolt * 0.8], [12, 16, ROOM, 260]);
  const [X, Y] = [v.x, v.y];
  // The upper hole lies as far over as the bolt lets it.
  p.iron(v.left, Y(plate), v.right, Y(0));
  p.iron(v.left, Y(0), v.right, Y(-depth), "steel");
  p.box("d-void d-line", X(slack - hole / 2), Y(plate), X(slack + hole / 2), Y(0));
  if (floating)
    p.box(
      "d-void d-line",
      X(-under / 2 - (under - bolt) / 2),
      Y(0),
      X(under / 2 - (under - bolt) / 2),
      Y(-depth),
    );
  p.box("d-tool", X(-bolt / 2), Y(plate + bolt * 0.05), X(bolt / 2), Y(-depth));
  if (!floating)
    for (const k of [-1, 1])
      p.box("d-zone", X(k * bolt * 0.43), Y(0), X((k * bolt) / 2), Y(-depth), "thread");
  p.box("d-tool", X(-bolt * 0.8), Y(plate + bolt * 0.7), X(bolt * 0.8), Y(plate));
  p.line("d-axis", [X(0), Y(plate + bolt * 0.8) - 6], [X(0), Y(-depth) + 10]);
  p.line("d-axis", [X(slack), Y(plate) - 6], [X(slack), Y(0) + 10]);
  p.tag(X(bolt * 0.8), Y(plate + bolt * 0.4), "Bolt, largest", "=bolt");
  p.tag(
    X(slack + hole / 2),
    Y(plate * 0.6),
    r.n("hole") === undefined ? "Hole needed" : "Hole, smallest",
    r.t(r.n("hole") === undefined ? "need" : "hole"),
  );
  if (r.n("each") !== undefined) p.tag(X(slack), Y(0) + 4, "Each is off by", "=each");
  if (r.word("goes") === "false") p.warn("The bolts do not go in.");
  p.note("The hole as far over as the bolt lets it.");
}

interface Zone {
  name: string;
  low: number;
  high: number;
  kind: string;
  lining?: string;
}

/** Zones of sizes as upright bars from one line, to one scale much larger than life. */
function zones(p: Pad, list: Zone[], zero: number, write: (zone: Zone, high: boolean) => string): number {
  const all = [zero, ...list.flatMap((z) => [z.low, z.high])];
  const [lo, hi] = span(all);
  const [top, high] = [44, 200];
  const s = hi > lo ? high / (hi - lo) : 1;
  const Y = (n: number): number => top + (hi - n) * s;
  const step = 190 / list.length;
  list.forEach((z, i) => {
    const x = 22 + i * step;
    const [a, b] = [Y(z.high), Math.max(Y(z.low), Y(z.high) + 3)];
    p.box(z.kind, x, a, x + step * 0.66, b, z.lining);
    p.box("d-line", x, a, x + step * 0.66, b);
    p.put(x + step * 0.33, 16, z.name, "d-name", "middle");
    if (z.low < z.high) p.tag(x + step * 0.66, a, `${z.name}, most`, write(z, true));
    p.tag(x + step * 0.66, b, `${z.name}, least`, write(z, false));
  });
  p.line("d-mark", [10, Y(zero)], [ROOM, Y(zero)]);
  return s;
}

/** Hole and shaft about the nominal line. */
function fit(p: Pad, r: Reader) {
  const list: Zone[] = [
    { name: "Hole", low: r.need("holelow"), high: r.need("holehigh"), kind: "d-metal", lining: "iron" },
    { name: "Shaft", low: r.need("shaftlow"), high: r.need("shafthigh"), kind: "d-metal", lining: "steel" },
  ];
  const s = zones(p, list, 0, (z, high) => r.t(`${z.name.toLowerCase()}${high ? "max" : "min"}`));
  p.row("Nominal: the thick line", "=basic");
  p.note(`Zones ${life(s)}.`);
}

/** Pin, press hole and slip hole. */
function dowel(p: Pad, r: Reader) {
  const slip = r.n("slipmin");
  const list: Zone[] = [
    { name: "Pin", low: r.need("pinmin"), high: r.need("pinmax"), kind: "d-metal", lining: "steel" },
    { name: "Press", low: r.need("pressmin"), high: r.need("pressmax"), kind: "d-metal", lining: "iron" },
  ];
  if (slip !== undefined) list.push({ name: "Slip", low: slip, high: slip, kind: "d-metal" });
  const s = zones(p, list, r.need("nominal"), (z, high) =>
    r.t(z.name === "Slip" ? "slipmin" : `${z.name.toLowerCase()}${high ? "max" : "min"}`),
  );
  p.row("Nominal: the thick line", "=nominal");
  p.note(`Sizes across ${life(s)}. Slip is its least.`);
}

export const size = { engage, clear, bore, room, fit, dowel };
