/** Will it come out square: the setups in a row, and the worst face against what it may be off. */
import { figure } from "./line";
import { type Pad, short, WIDTH, type Point } from "./pad";
import type { Reader } from "./read";

function chain(p: Pad, r: Reader) {
  const setups = r.rows("setups");
  const faces = r.rows("faces");
  const errors = r.rows("errors");
  const n = r.filled("errors");
  if (setups.length === 0 || errors.length === 0) return false;
  // The worst face: nearest to its limit, or past it.
  const near = (i: number): number => {
    const limit = r.size(errors[i]![8]) ?? 0;
    return limit > 0 ? (Math.abs(n[i]![4]!) + n[i]![5]!) / limit : -1;
  };
  const chief = errors.reduce((best, _, i) => (near(i) > near(best) ? i : best), 0);
  const name = String(errors[chief]![0]);
  const bad = r.answer.mark === "stop";
  const step = Math.min(112, (WIDTH - 16) / setups.length);
  const size = Math.min(40, step - 12);
  const [top, floor] = [16, 16 + size];
  const X = (i: number): number => WIDTH / 2 + (i - (setups.length - 1) / 2) * step;
  p.line("d-line", [4, floor + 4], [WIDTH - 4, floor + 4]);
  const ends: Point[] = [];
  setups.forEach((q, i) => {
    const [x0, x1] = [X(i) - size / 2, X(i) + size / 2];
    p.box("d-metal", x0, top, x1, floor);
    p.box("d-line", x0, top, x1, floor);
    p.box("d-metal", x0, floor - 7, x1, floor, "iron");
    p.line("d-line", [x0, floor], [x1, floor]);
    for (const f of faces.filter((c) => c[1] === i + 1)) {
      const up = f[2] === OPPOSITE[String(q[1])];
      const worst = String(f[0]) === name;
      const k = worst && bad ? "d-badline" : "d-mark";
      const edge: [Point, Point] = up
        ? [
            [x0, top],
            [x1, top],
          ]
        : [
            [x1, top],
            [x1, floor],
          ];
      p.line(k, ...edge);
      ends.push([(edge[0][0] + edge[1][0]) / 2, (edge[0][1] + edge[1][1]) / 2]);
      for (const at of edge) p.block([at[0] - 3, at[1] - 3, at[0] + 3, at[1] + 3]);
    }
    p.put(X(i), floor + 20, short(String(q[0] || i + 1), "d-small", step - 6), "d-small", "middle");
  });
  if (ends.length > 1) p.line("d-flank", ...ends);
  // The worst face against what it may be off: expected, and how surely.
  const [mid, pm, limit] = [n[chief]![4]!, n[chief]![5]!, r.size(errors[chief]![8]) ?? 0];
  const most = Math.max(Math.abs(mid) + pm, limit, 1e-9);
  const y = floor + 44;
  const D = (d: number): number => WIDTH / 2 + (d / most) * 130;
  if (limit > 0) {
    p.box("d-metal", D(-limit), y - 12, D(limit), y + 12);
    for (const k of [-limit, limit]) p.line("d-line", [D(k), y - 16], [D(k), y + 16]);
  }
  p.line("d-axis", [D(0), y - 20], [D(0), y + 20]);
  p.line(bad ? "d-badline" : "d-mark", [D(mid - pm), y], [D(mid + pm), y]);
  p.spot("d-dot", D(mid), y, 5);
  p.block([D(-most), y - 20, D(most), y + 20]);
  p.near(64, floor + 78, short(name, "d-small", 110), "d-small", 20);
  figure(p, r.t("expected"), 176, floor + 78);
  figure(p, r.t("sure"), 280, floor + 78, "±");
  p.tell(`${name} ${r.cells("errors", chief, 4, 5)}`);
}

/** The side that is up when one is down. */
const OPPOSITE: Record<string, string> = {
  bottom: "top",
  top: "bottom",
  left: "right",
  right: "left",
  front: "back",
  back: "front",
};

export const chains = { chain };
