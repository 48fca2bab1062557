import type { Answer } from "../engine/contract.gen";
import { W } from "../text/words";
import { holePlan, type HoleSizes } from "./hole-plan";
import { Arrow, Hatch, Sheet, Tag, Upright } from "./parts";
import { brokenEdge, path, px } from "./scale";

const D = W.drawing;

function num(answer: Answer, key: string): number | undefined {
  const v = answer.results[key]?.value ?? answer.inputs[key]?.value;
  return typeof v === "number" && Number.isFinite(v) ? v : undefined;
}

/** Reads the sizes of the answer; undefined when one that the drawing needs is not there. */
export function sizesOf(answer: Answer): HoleSizes | undefined {
  const drill = num(answer, "dia");
  const full = num(answer, "full") ?? 0;
  const shoulder = num(answer, "shoulder");
  const tip = num(answer, "tip");
  if (drill === undefined || shoulder === undefined || tip === undefined) return undefined;
  const reach = num(answer, "reach") ?? full;
  const turns = num(answer, "turns");
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
    pitch: turns !== undefined && turns > 0 ? reach / turns : undefined,
  };
}

/** A hole meant to go through has the thickness of its depth, and coming out of the back is no fault of it. */
const isThrough = (answer: Answer): boolean => answer.inputs["stock"]?.value === "through";

/** Section through the hole: stock in cast iron's section lining, thread zone in dye blue, depths from the surface. */
export function HoleDrawing({ answer }: { answer: Answer }) {
  const sizes = sizesOf(answer);
  const p = sizes && holePlan(sizes);
  if (!p) return <p class="quiet">{D.cannot}</p>;
  const { x, surface } = p;
  const text = (key: string): string => answer.results[key]?.text ?? answer.inputs[key]?.text ?? "";
  const hole: [number, number][] = [
    [x - p.halfDrill, surface],
    [x - p.halfDrill, p.shoulder],
    [x, p.tip],
    [x + p.halfDrill, p.shoulder],
    [x + p.halfDrill, surface],
  ];
  const zone = (side: 1 | -1): string =>
    path(
      [
        [x + side * p.halfDrill, surface],
        [x + side * p.halfMajor, surface],
        [x + side * p.halfMajor, p.full],
        [x + side * p.halfDrill, p.full],
      ],
      true,
    );
  const run = (side: 1 | -1): string =>
    path(
      [
        [x + side * p.halfDrill, p.full],
        [x + side * p.halfMajor, p.full],
        [x + side * p.halfDrill, p.reach],
      ],
      true,
    );
  const flank = (side: 1 | -1): string => path(p.teeth.map(([tx, ty]) => [x + side * (tx - x), ty]));
  const names: Record<string, [string, string]> = {
    full: [D.full, text("full")],
    reach: [D.reach, text("reach")],
    shoulder: [D.shoulder, text("shoulder")],
    tip: [D.tip, text("tip")],
    back: [D.back, isThrough(answer) ? text("full") : text("stock")],
  };
  const says = [
    `${D.drill} ${text("drill")}`,
    ...p.depths.map((d) => names[d.key]!.join(" ")),
    ...(p.floor ? [`${D.floor} ${text("floor")}`] : []),
    ...(p.breaks !== "no" && !isThrough(answer) ? [D.through] : []),
  ];
  const dims = p.right + 8;
  const tags = 256;
  return (
    <Sheet width={p.width} height={p.height} says={D.describe(says)}>
      <defs>
        <Hatch id="hatch-iron" angle={45} gap={9} kind="d-lining" />
        <Hatch id="hatch-thread" angle={-60} gap={4} kind="d-threading" />
        <Hatch id="hatch-chamfer" angle={-60} gap={8} kind="d-threading" />
        <clipPath id="within-stock">
          <rect x={p.left} y={surface} width={p.right - p.left} height={px(p.bottom - surface)} />
        </clipPath>
      </defs>

      <path
        class="d-metal"
        d={path(
          [
            [p.left, surface],
            [p.right, surface],
            [p.right, p.bottom],
            [p.left, p.bottom],
          ],
          true,
        )}
      />
      <rect
        x={p.left}
        y={surface}
        width={p.right - p.left}
        height={px(p.bottom - surface)}
        fill="url(#hatch-iron)"
      />
      <path class="d-void" d={path(hole, true)} />
      {p.full > surface && (
        <g clip-path="url(#within-stock)">
          <path class="d-zone" d={zone(1)} />
          <path class="d-zone" d={zone(-1)} />
          <path d={zone(1)} fill="url(#hatch-thread)" />
          <path d={zone(-1)} fill="url(#hatch-thread)" />
        </g>
      )}
      {p.reach > p.full && (
        <g clip-path="url(#within-stock)">
          <path class="d-zone" d={run(1)} />
          <path class="d-zone" d={run(-1)} />
          <path d={run(1)} fill="url(#hatch-chamfer)" />
          <path d={run(-1)} fill="url(#hatch-chamfer)" />
        </g>
      )}
      {p.csk && (
        <path
          class="d-void d-line"
          d={path(
            [
              [x - p.csk.half, surface],
              [x - p.halfDrill, p.csk.y],
              [x + p.halfDrill, p.csk.y],
              [x + p.csk.half, surface],
            ],
            true,
          )}
        />
      )}
      {p.teeth.length > 0 && (
        <g clip-path="url(#within-stock)">
          <path class="d-flank" d={flank(1)} />
          <path class="d-flank" d={flank(-1)} />
        </g>
      )}
      <path class="d-line" d={path(hole)} />
      <line
        class="d-thin"
        x1={px(x - p.halfDrill)}
        x2={px(x + p.halfDrill)}
        y1={px(p.shoulder)}
        y2={px(p.shoulder)}
      />

      <line class="d-line" x1={p.left} x2={px(x - (p.csk?.half ?? p.halfDrill))} y1={surface} y2={surface} />
      <line class="d-line" x1={px(x + (p.csk?.half ?? p.halfDrill))} x2={p.right} y1={surface} y2={surface} />
      {p.back === undefined ? (
        <path
          class="d-thin"
          d={path([
            [p.left, p.bottom],
            [p.right, p.bottom],
          ])}
          stroke-dasharray="2 5"
        />
      ) : p.breaks === "drill" ? (
        <g>
          <line class="d-line" x1={p.left} x2={px(x - p.halfDrill)} y1={px(p.back)} y2={px(p.back)} />
          <line class="d-line" x1={px(x + p.halfDrill)} x2={p.right} y1={px(p.back)} y2={px(p.back)} />
        </g>
      ) : (
        <line class="d-line" x1={p.left} x2={p.right} y1={px(p.back)} y2={px(p.back)} />
      )}
      <path class="d-thin" d={brokenEdge(p.left, surface, p.bottom)} />
      <path class="d-thin" d={brokenEdge(p.right, surface, p.bottom)} />
      <line class="d-axis" x1={x} x2={x} y1={surface - 14} y2={px(Math.max(p.tip, p.bottom) + 10)} />

      <line
        class="d-thin"
        x1={px(x - p.halfDrill)}
        x2={px(x - p.halfDrill)}
        y1={surface - 4}
        y2={surface - 22}
      />
      <line
        class="d-thin"
        x1={px(x + p.halfDrill)}
        x2={px(x + p.halfDrill)}
        y1={surface - 4}
        y2={surface - 22}
      />
      <line
        class="d-dim"
        x1={px(x - p.halfDrill - 16)}
        x2={px(x + p.halfDrill + 16)}
        y1={surface - 17}
        y2={surface - 17}
      />
      <Arrow x={x - p.halfDrill} y={surface - 17} to="right" />
      <Arrow x={x + p.halfDrill} y={surface - 17} to="left" />
      <text class="d-tag" x={px(x + p.halfDrill + 22)} y={surface - 12}>
        <tspan class="d-name">{D.drill} </tspan>
        <tspan class="d-size">{text("drill")}</tspan>
      </text>

      <line class="d-thin" x1={p.right + 2} x2={tags - 12} y1={surface} y2={surface} />
      {p.depths.map((d, i) => {
        // The shallowest stands outermost, so that no leader crosses a dimension line.
        const cx = dims + (p.depths.length - 1 - i) * 8;
        const start =
          d.key === "back"
            ? p.right
            : d.key === "tip"
              ? x
              : d.key === "shoulder"
                ? x + p.halfDrill
                : x + p.halfMajor;
        return (
          <g key={d.key}>
            <line class="d-ext" x1={px(start + 3)} x2={px(cx + 3)} y1={px(d.y)} y2={px(d.y)} />
            <line class="d-dim" x1={px(cx)} x2={px(cx)} y1={surface} y2={px(d.y)} />
            <Arrow x={cx} y={d.y} to="down" />
            <path
              class="d-ext"
              d={path([
                [cx + 3, d.y],
                [tags - 14, d.label],
                [tags - 4, d.label],
              ])}
            />
            <Tag x={tags} y={d.label - 3} name={names[d.key]![0]} size={names[d.key]![1]} />
          </g>
        );
      })}

      {p.floor && (
        <g>
          <line
            class="d-ext"
            x1={px(p.left - 22)}
            x2={px(x - 4)}
            y1={px(p.floor.from)}
            y2={px(p.floor.from)}
          />
          <line class="d-ext" x1={px(p.left - 22)} x2={p.left} y1={px(p.floor.to)} y2={px(p.floor.to)} />
          <Upright x={p.left - 16} from={p.floor.from} to={p.floor.to} />
        </g>
      )}
      {p.floor && (
        <text class="d-tag" x={p.left - 8} y={px(p.floor.to + 26)}>
          <tspan class="d-name">{D.floor} </tspan>
          <tspan class="d-size">{text("floor")}</tspan>
        </text>
      )}
      {p.breaks !== "no" && p.back !== undefined && !isThrough(answer) && (
        <g>
          <path class="d-warn-sign" d={`M13 ${px(p.height - 23)}l9 16h-18z`} />
          <text class="d-warn" x={28} y={px(p.height - 8)}>
            {D.through}
          </text>
        </g>
      )}
    </Sheet>
  );
}
