import type { Answer } from "../engine/contract.gen";
import { W } from "../text/words";
import { Pad, type Picture } from "./pad";
import { Sheet } from "./parts";
import { plans } from "./plans";
import { px } from "./scale";
import { Missing, Reader } from "./read";

/** The picture of an answer, or undefined where the answer lacks the numbers for it. */
export function pictureOf(name: string, answer: Answer): Picture | undefined {
  try {
    const r = new Reader(answer);
    const p = new Pad(r);
    return plans[name] && plans[name](p, r) !== false ? p.done() : undefined;
  } catch (e) {
    if (e instanceof Missing) return undefined;
    throw e;
  }
}

/** A drawing that is imported lazily. */
export function Shown({ name, answer }: { name: string; answer: Answer }) {
  const p = pictureOf(name, answer);
  if (!p) return <p class="quiet">{W.drawing.cannot}</p>;
  return (
    <Sheet width={p.w} height={p.h} says={p.says} marks={p.marks}>
      {p.words.map((w, i) => (
        <text key={i} class={`d-tag d-over ${w.k}`} x={px(w.x)} y={px(w.y)} text-anchor={w.a}>
          {w.s}
        </text>
      ))}
    </Sheet>
  );
}
