/** Weight, balance point and slings. */
import { arc, type Pad, polar, span, WIDTH, type Point, type View } from "./pad";
import type { Reader } from "./read";

type Span = [number, number];

/** The bodies' extents from above and from the front, with the balance point. */
function weigh(p: Pad, r: Reader) {
  const boxes = r.filled("boxes");
  const parts = r.rows("parts");
  const [gx, gy, gz] = r.needs("cgx cgy cgz") as [number, number, number];
  const [[x0, x1], [y0, y1], [z0, z1]] = [1, 3, 5].map((i, k) =>
    span([...boxes.flatMap((b) => [b[i]!, b[i + 1]!]), [gx, gy, gz][k]!]),
  ) as [Span, Span, Span];
  const s = Math.min((WIDTH - 40) / (x1 - x0 || 1), 320 / (y1 - y0 + z1 - z0 || 1));
  p.put(8, 16, "Seen from above");
  const a = p.view([x0, y0, x1, y1], [12, 26, WIDTH - 12, 400], s);
  const draw = (v: View, i: number, axis: string): void => {
    // Solid bodies first, voids over them: a void inside shows dashed.
    for (const cut of [false, true]) {
      boxes.forEach((b, k) => {
        const row = parts[k] ?? [];
        if ((row[0] === "cut") !== cut) return;
        const [l, t, rt, bt] = [v.x(b[1]!), v.y(b[i + 1]!), v.x(b[2]!), v.y(b[i]!)];
        const shape = String(row[1] ?? "");
        const along = String(row[8] ?? "z") || "z";
        const ring = shape === "ball" || (along === axis && /rod|tube|cone|dome|ring/.test(shape));
        const kind = cut ? "d-ghost" : "d-line";
        if (ring) {
          const c = (rt - l) / 2;
          if (!cut) p.round("d-metal", (l + rt) / 2, (t + bt) / 2, c, "iron");
          p.round(cut && along === axis ? "d-void d-line" : kind, (l + rt) / 2, (t + bt) / 2, c);
        } else {
          if (!cut) p.box("d-metal", l, t, rt, bt, "iron");
          p.box(kind, l, t, rt, bt);
        }
      });
    }
  };
  draw(a, 3, "z");
  p.balance(a.x(gx), a.y(gy));
  const t = a.bottom + 26;
  p.put(8, t, "Seen from the front");
  const f = p.view([x0, z0, x1, z1], [12, t + 10, WIDTH - 12, t + 400], s);
  draw(f, 5, "y");
  p.balance(f.x(gx), f.y(gz));
  p.letter(a.x(gx) + 18, a.y(gy) - 12, "Balances at", `${r.t("cgx")}, ${r.t("cgy")}, ${r.t("cgz")}`);
  p.note("Each body by its extent. Dashes: cut out.");
}

/** Hook, legs and load in elevation, every leg by its own spread and rise. */
function sling(p: Pad, r: Reader) {
  const legs = r.filled("legs");
  // Each leg is turned about the hook into the plane of the paper: left ones left, right ones
  // right.
  const at = legs.map((l): [number, number] => {
    const far = Math.hypot(l[1]!, l[2]!);
    return [l[1]! < 0 || (l[1] === 0 && l[2]! < 0) ? -far : far, l[3]!];
  });
  const xs = at.map((q) => q[0]);
  const rise = Math.max(...at.map((q) => q[1]));
  const reach = Math.max(...xs.map(Math.abs), rise * 0.2);
  const v = p.view([-reach, 0, reach, rise], [60, 40, WIDTH - 60, 240]);
  const hook: Point = [v.x(0), v.y(rise)];
  p.curve("d-line", arc(hook[0], hook[1] - 12, 7, -90, 160), hook[1]);
  p.line("d-line", [hook[0], 8], [hook[0], hook[1] - 19]);
  p.block([hook[0] - 10, 0, hook[0] + 10, hook[1] + 4]);
  const lugs = at.map(([x, up]): Point => [v.x(x), v.y(rise - up)]);
  const low = Math.max(...lugs.map((l) => l[1]));
  const [x0, x1] = span(lugs.map((l) => l[0]));
  p.iron(x0 - 20, low + 8, x1 + 20, low + 44);
  p.balance(hook[0], low + 26);
  const seen = new Set<string>();
  lugs.forEach((l, i) => {
    p.line("d-line", hook, l);
    p.line("d-line", l, [l[0], low + 8]);
    p.round("d-tool", l[0], l[1], 4);
    const key = `${Math.round(l[0])},${Math.round(l[1])}`;
    if (seen.has(key)) return;
    seen.add(key);
    const right = l[0] >= hook[0];
    const a = legs[i]![5]!;
    if (a < 89.9) p.curve("d-dim", arc(l[0], l[1], 24, right ? 180 : 0, right ? 180 - a : a), l[1]);
    const same = at.flatMap((q, k) =>
      Math.abs(q[0] - at[i]![0]) < 1e-9 && Math.abs(q[1] - at[i]![1]) < 1e-9 ? [k + 1] : [],
    );
    p.letter(
      (hook[0] + l[0]) / 2 + (right ? 16 : -16),
      (hook[1] + l[1]) / 2 - 6,
      `Leg ${same.join(", ")}`,
      r.cells("legs", i, 5, 6),
    );
  });
  if (r.word("ok") === "false") p.warn("Over the sling's rating.");
  p.note("Every leg turned into the sheet, at its true angle. The load is not known.");
}

/** What the eyebolt may carry in every direction, drawn along the pull. */
function eyebolt(p: Pad, r: Reader) {
  const zones = r.numbers("byangle", 2);
  const angle = r.n("angle") ?? 0;
  const most = Math.max(r.n("straight") ?? 0, ...zones.map((z) => z[1]!));
  if (!(most > 0)) return false;
  const [ox, oy, long] = [44, 236, 196];
  const at = (deg: number, d: number): Point => polar(ox, oy, d, 90 - deg);
  // Each zone is a sector as long as its load.
  let from = 0;
  zones.forEach(([to, load], i) => {
    const d = (load! / most) * long;
    p.curve("d-metal", `M${ox} ${oy}L${arc(ox, oy, d, 90 - to!, 90 - from).slice(1)}Z`, oy);
    p.curve("d-thin", `M${ox} ${oy}L${arc(ox, oy, d, 90 - to!, 90 - from).slice(1)}Z`, oy);
    const q = at((from + to!) / 2, d);
    p.tag(q[0], q[1], `to ${r.cells("byangle", i, 0)}`, r.cells("byangle", i, 1));
    from = to!;
  });
  const pull = r.n("pull") ?? 0;
  const allowed = r.n("allowed");
  p.round("d-tool", ox, oy, 8);
  p.round("d-void d-thin", ox, oy, 4);
  p.box("d-tool", ox - 12, oy + 8, ox + 12, oy + 13);
  p.iron(10, oy + 13, 200, oy + 54);
  p.box("d-zone", ox - 6, oy + 13, ox + 6, oy + 44, "thread");
  p.box("d-thin", ox - 6, oy + 13, ox + 6, oy + 44);
  // The pull at the loads' scale; only its dot where the arrow would be hidden by the eye.
  const d = Math.min(pull / most, 1.06) * long;
  const q = at(angle, d);
  const bad = allowed !== undefined && pull > allowed;
  p.line("d-axis", [ox, oy], at(angle, long + 16));
  if (d > 30) p.push(...at(angle, 8), ...q, bad ? "-bad" : "");
  else p.round(bad ? "d-badline" : "d-fill", q[0], q[1], 4.5);
  p.row("Dot or arrow: the pull", "=pull");
  if (bad) p.warn("The pull is more than it may carry.");
  p.note("Loads to scale along the pull, angles from the shank; the eyebolt is not to scale.");
}

export const lift = { weigh, sling, eyebolt };
