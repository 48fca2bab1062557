import type { ComponentChildren } from "preact";
import { px } from "./scale";

/** Parallel lines at an angle, as a pattern to fill with. The class gives the stroke. */
export function Hatch({ id, angle, gap, kind }: { id: string; angle: number; gap: number; kind: string }) {
  return (
    <pattern
      id={id}
      width={gap}
      height={gap}
      patternUnits="userSpaceOnUse"
      patternTransform={`rotate(${angle})`}
    >
      <line class={kind} x1="0" y1="0" x2="0" y2={gap} />
    </pattern>
  );
}

/** A slim filled arrowhead with its point at (x, y). */
export function Arrow({
  x,
  y,
  to,
  kind = "d-arrow",
}: {
  x: number;
  y: number;
  to: "up" | "down" | "left" | "right";
  kind?: string;
}) {
  const turn = { up: 0, right: 90, down: 180, left: 270 }[to];
  return (
    <path class={kind} d="M0 0L3.2 9L-3.2 9Z" transform={`translate(${px(x)} ${px(y)}) rotate(${turn})`} />
  );
}

/** A vertical dimension line with arrows inside, or pointing in from outside when it is short. */
export function Upright({ x, from, to }: { x: number; from: number; to: number }) {
  const tight = to - from < 22;
  return (
    <g>
      <line
        class="d-dim"
        x1={px(x)}
        x2={px(x)}
        y1={px(tight ? from - 16 : from)}
        y2={px(tight ? to + 16 : to)}
      />
      <Arrow x={x} y={from} to={tight ? "down" : "up"} />
      <Arrow x={x} y={to} to={tight ? "up" : "down"} />
    </g>
  );
}

/** A name and under it its size, the size large. */
export function Tag({ x, y, name, size }: { x: number; y: number; name: string; size: string }) {
  return (
    <text class="d-tag" x={px(x)} y={px(y)}>
      <tspan class="d-name">{name}</tspan>
      <tspan class="d-size" x={px(x)} dy="17">
        {size}
      </tspan>
    </text>
  );
}

/** The frame of every drawing: described in words for those who do not see it. */
export function Sheet({
  width,
  height,
  says,
  children,
}: {
  width: number;
  height: number;
  says: string;
  children: ComponentChildren;
}) {
  return (
    <svg class="drawing" viewBox={`0 0 ${width} ${height}`} role="img" aria-label={says}>
      {children}
    </svg>
  );
}
