// Revisions that the office has and this device could not get: set aside, so that everything behind
// them still comes, and tried again now and then.
import type { Leaf } from "./remote";

export interface Missed extends Leaf {
  /** large: the office does not give it to phones. */
  kind: "damaged" | "large" | "store";
  reason: string;
  /** When it was last tried. */
  at: number;
}

/** How long one that was set aside is left alone. */
export const rest = 3600_000;

const nameOf = ({ id, rev }: Leaf): string => JSON.stringify([id, rev]);

export class Aside {
  private all = new Map<string, Missed>();

  constructor(missed: readonly Missed[] = []) {
    for (const one of missed) this.all.set(nameOf(one), one);
  }

  list = (): Missed[] => [...this.all.values()];
  has = (leaf: Leaf): boolean => this.all.has(nameOf(leaf));
  at = (leaf: Leaf): number | undefined => this.all.get(nameOf(leaf))?.at;
  add = (missed: Missed): void => void this.all.set(nameOf(missed), missed);
  drop = (leaf: Leaf): boolean => this.all.delete(nameOf(leaf));

  /** Those to be tried again, as of a moment; a clock that was put back does not hold them up. */
  due = (now: number): Missed[] => this.list().filter(({ at }) => Math.abs(now - at) >= rest);

  /** The revisions that a record has at the office now: others of it need no longer come. */
  narrow(id: string, revs: readonly string[]): void {
    for (const one of this.list()) {
      if (one.id === id && !revs.includes(one.rev)) this.drop(one);
    }
  }
}
