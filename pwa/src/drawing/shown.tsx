import type { Answer, Field, Sheet as Described } from "../engine/contract.gen";
import { W } from "../text/words";
import { type AskWays, bareOf, Pad, type Picture, type Told } from "./pad";
import { Sheet } from "./parts";
import { plans } from "./plans";
import { px } from "./scale";
import { Missing, Reader } from "./read";

/** The picture of an answer, or undefined where the answer lacks the numbers for it. */
export const pictureOf = (name: string, answer: Answer, faint = false): Picture | undefined =>
  drawn(name, answer, faint);

/** The same where no boxes stand over it: what would stand in them is part of the picture. */
export const toldOf = (sheet: Described, answer: Answer): Picture | undefined =>
  drawn(sheet.drawing, answer, false, (key, how) => boxOf(sheet, answer, key, how));

/** What the box of an input would show: typed where that is what rules, else worked out, else usual. */
function boxOf(sheet: Described, answer: Answer, key: string, how: AskWays): Told {
  const f = sheet.inputs.find((i) => i.key === key);
  const text = answer.inputs[key]?.text ?? "";
  const rules = Object.entries(how.when ?? {}).every(([k, v]) => (answer.inputs[k]?.text ?? "") === v);
  const worked = how.worked ? workedOut(sheet, answer, how.worked) : "";
  const own = rules && text !== "" && text !== (f?.default ?? "");
  const name = how.name ?? f?.box ?? f?.label.toLowerCase() ?? "";
  return { name, own, text: f ? (own ? said(f, text) : worked || (rules ? said(f, text) : "")) : "" };
}

/** What stands in a box that something else decides: a name as it is, a size without its unit. */
export function workedOut(sheet: Described, answer: Answer | undefined, key: string): string {
  const found = answer?.results[key];
  const name = sheet.results.some((r) => r.key === key && r.kind === "text");
  return found ? (name ? found.text : bareOf(found.shown ?? noughtless(found.text))) : "";
}

/** What is set on no dial is told without noughts at its end. */
const noughtless = (text: string): string => text.replace(/(\.\d*?)0+(?= |$)/, "$1").replace(/\.(?= |$)/, "");

/** A choice or a word as it is called, a size without the unit that is said once. */
const said = (f: Field, text: string): string => {
  const o = [...(f.options ?? []), ...(f.words ?? [])].find((one) => one.key === text);
  return o
    ? (o.short ?? o.label)
    : f.kind === "flag"
      ? text === "yes"
        ? W.sheet.yes
        : W.sheet.no
      : bareOf(text);
};

function drawn(
  name: string,
  answer: Answer,
  faint: boolean,
  tells?: (key: string, how: AskWays) => Told,
): Picture | undefined {
  try {
    const r = new Reader(answer);
    const p = new Pad(r, faint, tells);
    return plans[name] && plans[name](p, r) !== false ? p.done() : undefined;
  } catch (e) {
    if (e instanceof Missing) return undefined;
    throw e;
  }
}

/** A drawing that is imported lazily. */
export function Shown({ sheet, answer }: { sheet: Described; answer: Answer }) {
  const p = toldOf(sheet, answer);
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
