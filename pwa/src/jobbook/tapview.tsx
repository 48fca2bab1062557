// Indicating in, drawn: what is moved, where and how far, and what the taps so far have done.
import type { Answer } from "../engine/contract.gen";
import { M } from "../text/mill";
import { thou } from "./readlogic";

/** A number of an answer in thousandths. */
const inThou = (n: unknown, unit = "in"): number | undefined =>
  typeof n === "number" ? thou(`${n.toFixed(9)} ${unit}`) : undefined;

const numberOf = (answer: Answer, key: string): number | undefined =>
  inThou(answer.results[key]?.value, answer.results[key]?.unit);

const inputOf = (answer: Answer, key: string): number | undefined =>
  inThou(answer.inputs[key]?.value, answer.inputs[key]?.unit);

/** As it is read on the dial, without sign and unit. */
const bare = (answer: Answer, key: string): string =>
  (answer.results[key]?.shown ?? answer.results[key]?.text ?? "")
    .replace(/^[-+]/, "")
    .replace(/ [a-z]+$/, "");

/** The move as one arrow with its aim in it; the end that holds is a pivot. */
export function TapDrawing({
  answer,
  pivot,
  side,
}: {
  answer: Answer | undefined;
  pivot: string;
  /** Where the indicator stands. */
  side: string;
}) {
  const out = answer?.results["done"]?.value === false ? answer : undefined;
  const lean = (out && numberOf(out, "lean")) ?? 0;
  const move = out && numberOf(out, "move");
  const ends = { a: 62, b: 298 };
  const said = answer?.results["end"]?.text;
  const moved = said ? (said === "A" ? "a" : "b") : pivot === "b" ? "a" : "b";
  const stays = moved === "a" ? "b" : "a";
  // Towards the indicator is down where it stands before the face.
  const down = side === "column" || side === "above" ? -1 : 1;
  const [px, face] = [ends[stays], 104];
  const shift = Math.sign(lean) * down * 20;
  const turn = Math.sign(lean) * down * (stays === "a" ? 5 : -5) || 0;
  const x = ends[moved];
  // The arrow's point touches the part on the side that is tapped.
  const to = Math.sign(move ?? 0) * down;
  const [back, front] = down > 0 ? [face - 36, face] : [face, face + 36];
  const tip = (to > 0 ? back - 3 : front + 3) + shift;
  const arrow = `M${x} ${tip}l-34 ${-to * 18}h14v${-to * 24}h40v${to * 24}h14z`;
  return (
    <svg class="tap-drawing" viewBox="0 0 360 186" aria-hidden="true">
      <path class="d-metal" d="M6 8h348v172H6z" />
      <path class="d-axis" d={`M10 ${face}H350`} />
      <g transform={`rotate(${turn} ${px} ${face})`}>
        <path class="e-part" d={`M38 ${face}h284v${-36 * down}H38z`} />
        <path class="e-edge" d={`M38 ${face}h284`} />
      </g>
      {pivot !== "free" && (
        <>
          <path class="e-pivot" d={`M${px} ${face}l-10 ${17 * down}h20z`} />
          <text class="d-note" x={px} y={face + (down > 0 ? 31 : -24)} text-anchor="middle">
            {M.tap.holds}
          </text>
        </>
      )}
      {out && (
        <text class="d-size" x={moved === "b" ? 340 : 20} y={face + 5 + shift / 2} text-anchor="middle">
          {size(lean)}
        </text>
      )}
      {out && move !== undefined && (
        <>
          <path class="e-arrow" d={arrow} />
          <text class="e-aim" x={x} y={tip - to * 22 + 5} text-anchor="middle">
            {bare(out, "move").replace(/^0\./, ".")}
          </text>
        </>
      )}
    </svg>
  );
}

interface Point {
  v: number;
  says: string;
}

/** To a quarter of a thou, without its sign. */
const size = (n: number): string => String(Math.round(Math.abs(n) * 4) / 4).replace(/^0\./, ".");

/** Where it lay at first and after each tap. */
function pointsOf(answer: Answer): Point[] {
  const { value, units } = answer.results["history"] ?? {};
  const list = Array.isArray(value) ? (value as unknown[][]) : [];
  const axis = list[0]?.[1];
  const rows = list.filter((r) => r[1] === axis);
  return rows.flatMap((r, i) => {
    const v = inThou(r[5], units?.[5]);
    if (v === undefined) return [];
    const before = inThou(rows[i - 1]?.[5], units?.[5]);
    const asked = thou(String(r[3]));
    if (before === undefined || asked === undefined) return [{ v, says: i === 0 ? M.tap.start : "" }];
    return [{ v, says: M.tap.aimed(size(asked), size(v - before)) }];
  });
}

const [WIDE, TOP, LOW] = [360, 46, 116];

/** Each tap so far, aimed and gone; the band that is wanted; where the next should land. */
export function TapChart({ answer }: { answer: Answer }) {
  const all = pointsOf(answer).slice(-5);
  const allow = inputOf(answer, "allow");
  if (all.length === 0 || allow === undefined) return null;
  const move = numberOf(answer, "move");
  const part = (key: string) => Number(answer.results[key]?.value ?? 0) / 100;
  const [reach, span] = [inputOf(answer, "reach"), inputOf(answer, "span")];
  const lever = reach && span ? span / reach : 1;
  const lean = all.at(-1)!.v;
  const way = answer.results["end"]?.text === "A" ? -1 : 1;
  const next =
    move === undefined
      ? undefined
      : {
          v: lean + part("gain") * move * lever * way,
          by: part("gainsure") * Math.abs(move * lever) + (numberOf(answer, "sure") ?? 0),
        };
  // What it was out by at first stands above the band.
  const up = all[0]!.v < 0 ? -1 : 1;
  const vs = [...all.map((p) => p.v), next?.v ?? 0].map((v) => v * up);
  const [high, low] = [Math.max(...vs, allow * 1.3), Math.min(...vs, -allow * 1.3)];
  const y = (v: number): number => TOP + ((high - v * up) / (high - low)) * (LOW - TOP);
  const n = all.length + (next ? 1 : 0);
  const x = (i: number): number => 74 + (i * 240) / Math.max(1, n - 1);
  const [b0, b1] = [y(allow * up), y(-allow * up)];
  const line = all.map((p, i) => `${x(i).toFixed(1)} ${y(p.v).toFixed(1)}`);
  const clip = (at: number): number => Math.max(TOP - 16, Math.min(LOW + 8, at));
  const last = x(n - 1);
  return (
    <svg
      class="tap-chart"
      viewBox={`0 0 ${WIDE} 146`}
      role="img"
      aria-label={M.tap.chartSays(all.map((p) => size(p.v)).join(", "))}
    >
      <text class="d-note" x="12" y="14">
        {M.tap.chart}
      </text>
      {all.length > 1 && (
        <text class="d-note end" x={WIDE - 12} y="14">
          {M.tap.aimedGone}
        </text>
      )}
      <path class="c-band" d={`M44 ${b0}H348V${b1}H44z`} />
      <path class="c-limit" d={`M44 ${b0}H348M44 ${b1}H348`} />
      <text class="c-want" x="40" y={(b0 + b1) / 2 + 4} text-anchor="end">
        {`±${size(allow)}`}
      </text>
      {line.length > 1 && <path class="e-profile" d={`M${line.join("L")}`} />}
      {next && (
        <>
          <path class="c-next" d={`M${line.at(-1)!}L${last} ${y(next.v)}`} />
          <path class="c-spread" d={`M${last} ${clip(y(next.v - next.by))}V${clip(y(next.v + next.by))}`} />
          <circle class="c-hollow" cx={last} cy={y(next.v)} r="5.5" />
          <text class="d-note now" x={last} y="138" text-anchor="middle">
            {M.tap.aim(bare(answer, "move"))}
          </text>
        </>
      )}
      {all.map((p, i) => (
        <g key={i}>
          <circle class="d-dot" cx={x(i)} cy={y(p.v)} r="5.5" />
          <text class="d-size" x={x(i) + 10} y={y(p.v) - 6}>
            {size(p.v)}
          </text>
          <text class="d-note" x={x(i)} y="138" text-anchor="middle">
            {p.says}
          </text>
        </g>
      ))}
    </svg>
  );
}
