import type { Answer } from "../engine/contract.gen";
import { W } from "../text/words";
import type { Picture } from "./pad";
import { Hatch, Sheet } from "./parts";
import { plans } from "./plans";
import { px } from "./scale";
import { Missing, Reader } from "./read";

const LININGS = [
  ["iron", 45, 9, "lining"],
  ["steel", -45, 5, "lining"],
  ["thread", -60, 4, "threading"],
  ["bad", 20, 5, "badlining"],
] as const;

/** The picture of an answer, or undefined where the answer has not the numbers for it. */
export function pictureOf(name: string, answer: Answer): Picture | undefined {
  try {
    return plans[name]?.(new Reader(answer));
  } catch (e) {
    if (e instanceof Missing) return undefined;
    throw e;
  }
}

/** A drawing that comes with the late part of the page. */
export function Shown({ name, answer }: { name: string; answer: Answer }) {
  const p = pictureOf(name, answer);
  if (!p) return <p class="quiet">{W.drawing.cannot}</p>;
  return (
    <Sheet width={p.w} height={p.h} says={p.says}>
      <defs>
        {LININGS.map(([name, angle, gap, kind]) => (
          <Hatch key={name} id={`lining-${name}`} angle={angle} gap={gap} kind={`d-${kind}`} />
        ))}
      </defs>
      {p.marks.map((m, i) => (
        <path key={i} class={m.k || undefined} d={m.d} fill={m.lining && `url(#lining-${m.lining})`} />
      ))}
      {p.words.map((w, i) => (
        <text key={i} class={`d-tag d-over ${w.k}`} x={px(w.x)} y={px(w.y)} text-anchor={w.a}>
          {w.s}
        </text>
      ))}
    </Sheet>
  );
}
