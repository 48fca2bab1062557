// The edge that is read, drawn: places as ticks where they are, points joined straight, since nobody
// measured between, and the indicator at the place that is next.
import { M } from "../text/mill";

/** A place on the edge: along in thousandths, what was read there in thousandths, whether it is next. */
export interface Mark {
  key: string;
  along: number | undefined;
  text: string;
  read: number | undefined;
  /** Read in this round; else what was read before it. */
  fresh: boolean;
}

/** The drawing's field; the boxes under it have the same width. */
const [WIDTH, HIGH, LEVEL, EDGE, FOOT] = [360, 158, 64, 112, 140];

/** The middle of a box of a row of so many. */
const middle = (i: number, n: number): number => {
  const wide = (WIDTH - 16 - 4 * (n - 1)) / n;
  return 8 + (wide + 4) * i + wide / 2;
};

/** The largest round number up to one. */
function round(most: number): number {
  const ten = 10 ** Math.floor(Math.log10(most));
  return ten * (most >= 5 * ten ? 5 : most >= 2 * ten ? 2 : 1);
}

/** Where the ticks stand: to scale where every place says how far along it is. */
function ticks(marks: readonly Mark[]): { at: number[]; scale: number } {
  const n = marks.length;
  const [a, b] = n > 6 ? [24, WIDTH - 24] : [middle(0, n), middle(n - 1, n)];
  const xs = marks.map((m) => m.along);
  const [low, high] = [Math.min(...xs.map((x) => x ?? 0)), Math.max(...xs.map((x) => x ?? 0))];
  if (n < 2 || high === low || xs.some((x) => x === undefined))
    return { at: marks.map((_, i) => (n < 2 ? a : a + ((b - a) * i) / (n - 1))), scale: 0 };
  const scale = (b - a) / (high - low);
  return { at: xs.map((x) => a + (x! - low) * scale), scale };
}

export function Edge({
  marks,
  now,
  part,
  away,
  whole,
}: {
  marks: readonly Mark[];
  now: string;
  /** What is read, named on it. */
  part: string;
  /** + is away from the indicator: what reads more lies lower. */
  away: boolean;
  /** Sizes and not a line: nothing is joined. */
  whole: boolean;
}) {
  const n = marks.length;
  const { at, scale } = ticks(marks);
  const read = whole
    ? []
    : marks.flatMap((m, i) => (m.read === undefined ? [] : [{ x: at[i]!, v: m.read, fresh: m.fresh }]));
  const level = read[0]?.v ?? 0;
  const most = Math.max(0, ...read.map((r) => Math.abs(r.v - level)));
  const times = scale > 0 && most > 0 ? round(34 / most / scale) : 0;
  const by = most > 0 ? (times ? times * scale : 34 / most) : 0;
  const y = (v: number): number => LEVEL + (away ? 1 : -1) * (v - level) * by;
  const line = (of: typeof read): string =>
    of.length > 1 ? `M${of.map((r) => `${r.x.toFixed(1)} ${y(r.v).toFixed(1)}`).join("L")}` : "";
  const fresh = read.filter((r) => r.fresh);
  const next = at[marks.findIndex((m) => m.key === now)];
  return (
    <svg class="edge-drawing" viewBox={`0 0 ${WIDTH} ${HIGH}`} aria-hidden="true">
      <text class="d-note" x="12" y="14">
        {[M.above, times > 1 && M.high(times)].filter(Boolean).join(" · ")}
      </text>
      <text class="d-note end" x={WIDTH - 12} y="14">
        {!whole && (away ? M.away : M.near)}
      </text>
      <path class="d-metal" d={`M10 ${EDGE}h${WIDTH - 20}v${FOOT - EDGE}h${20 - WIDTH}z`} />
      <path class="e-edge" d={`M10 ${EDGE}h${WIDTH - 20}`} />
      <text class="d-note" x={WIDTH / 2} y={FOOT - 8} text-anchor="middle">
        {part}
      </text>
      {read.length > 1 && <path class="d-axis" d={`M24 ${LEVEL}H${WIDTH - 24}`} />}
      {fresh.length < read.length && <path class="e-before" d={line(read)} />}
      <path class="e-profile" d={line(fresh)} />
      {read.map((r) => (
        <circle key={r.x} class={r.fresh ? "d-dot" : "e-hollow"} cx={r.x} cy={y(r.v)} r="5" />
      ))}
      {marks.map((m, i) => (
        <g key={m.key}>
          <path class="d-thin" d={`M${at[i]} ${EDGE}v9`} />
          {n <= 6 && <path class="d-thin e-leader" d={`M${at[i]} ${FOOT}L${middle(i, n)} ${HIGH}`} />}
          {n <= 9 && (
            <text
              class={m.key === now ? "d-note now" : "d-note"}
              x={at[i]}
              y={EDGE + 20}
              text-anchor="middle"
            >
              {m.text}
            </text>
          )}
        </g>
      ))}
      {next !== undefined && (
        <g class="e-dial" transform={`translate(${next} ${EDGE})`}>
          <path d="M0 0v-12" />
          <circle r="15" cy="-27" />
          <path d="M0 -27l6 -8" />
        </g>
      )}
    </svg>
  );
}
