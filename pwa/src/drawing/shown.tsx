import type { Answer } from "../calc/types";
import { W } from "../words/words";
import type { Picture } from "./pad";
import { Hatch, Sheet } from "./parts";
import { plans } from "./plans";
import { px } from "./scale";
import { Missing, Reader } from "./read";

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
        <Hatch id="lining-iron" angle={45} gap={9} kind="d-lining" />
        <Hatch id="lining-steel" angle={-45} gap={5} kind="d-lining" />
        <Hatch id="lining-thread" angle={-60} gap={4} kind="d-threading" />
        <Hatch id="lining-bad" angle={20} gap={5} kind="d-badlining" />
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
