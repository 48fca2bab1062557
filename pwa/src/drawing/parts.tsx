import type { ComponentChildren } from "preact";
import type { Mark } from "./pad";
import { px } from "./scale";

/** Hatching of cut faces: name, angle, spacing and class of the lines. */
const LININGS = [
  ["iron", 45, 9, "d-lining"],
  ["steel", -45, 5, "d-lining"],
  ["thread", -60, 4, "d-threading"],
  ["chamfer", -60, 8, "d-threading"],
  ["bad", 20, 5, "d-badlining"],
] as const;

/** A name and, under it or beside it, its size, the size large. */
export function Tag(p: { x: number; y: number; name: string; size: string; beside?: boolean }) {
  return (
    <text class="d-tag" x={px(p.x)} y={px(p.y)}>
      <tspan class="d-name">{p.beside ? `${p.name} ` : p.name}</tspan>
      <tspan class="d-size" {...(!p.beside && { x: px(p.x), dy: 17 })}>
        {p.size}
      </tspan>
    </text>
  );
}

/** The SVG element of every drawing, with its description for those who do not see it. */
export function Sheet({
  width,
  height,
  says,
  marks,
  children,
}: {
  width: number;
  height: number;
  says: string;
  marks: readonly Mark[];
  children: ComponentChildren;
}) {
  return (
    <svg class="drawing" viewBox={`0 0 ${width} ${height}`} role="img" aria-label={says}>
      <defs>
        {LININGS.map(([name, angle, gap, kind]) => (
          <pattern
            key={name}
            id={`lining-${name}`}
            width={gap}
            height={gap}
            patternUnits="userSpaceOnUse"
            patternTransform={`rotate(${angle})`}
          >
            <line class={kind} x1="0" y1="0" x2="0" y2={gap} />
          </pattern>
        ))}
      </defs>
      {marks.map((m, i) => (
        <path
          key={i}
          class={m.k || undefined}
          data-of={m.of}
          d={m.d}
          fill={m.lining && `url(#lining-${m.lining})`}
          clip-path={m.within && `url(#${m.within})`}
        />
      ))}
      {children}
    </svg>
  );
}
