/**
 * Sizes lately used on this phone, by the kind of field: threads, drills, and what the
 * description names, as stock. Most recent first, and apart for inches and millimetres, since a bare number
 * means another there.
 */
import type { UnitSystem } from "../engine/contract.gen";
import { inPocket, putInPocket } from "../screen/pocket";

const KEY = "datumbook.habit";
const MOST = 8;

/** What stands in for habits at first: the coarse threads of studs and setscrews. */
const COMMON: Record<string, Record<UnitSystem, readonly string[]>> = {
  thread: {
    in: ["1/2-13", "3/8-16", "5/8-11", "1/4-20", "5/16-18"],
    mm: ["M12", "M10", "M16", "M8", "M6"],
  },
};

function all(): Record<string, string[]> {
  const kept = Object(inPocket(KEY)) as Record<string, unknown>;
  return Object.fromEntries(
    Object.entries(kept).map(([of, texts]) => [
      of,
      Array.isArray(texts) ? texts.filter((x): x is string => typeof x === "string") : [],
    ]),
  );
}

/** Which habits a field has; "" for none. */
export function habitOf(el: HTMLElement): string {
  const { habit, pad } = el.dataset;
  return habit ?? (pad === "thread" || pad === "drill" ? pad : "");
}

/** Remembers what was used; what is too long for a key is left out. */
export function used(habit: string, unit: UnitSystem, text: string): void {
  const of = habit && `${habit} ${unit}`;
  const size = text.trim();
  if (!of || !size || size.length > 14) return;
  const kept = all();
  kept[of] = [size, ...(kept[of] ?? []).filter((x) => x !== size)].slice(0, MOST);
  putInPocket(KEY, kept);
}

/** What to offer, without what stands in the field already. */
export function lately(habit: string, unit: UnitSystem, now = ""): string[] {
  if (!habit) return [];
  const kept = all()[`${habit} ${unit}`] ?? [];
  return [...new Set([...kept, ...(COMMON[habit]?.[unit] ?? [])])]
    .filter((x) => x !== now.trim())
    .slice(0, MOST);
}
