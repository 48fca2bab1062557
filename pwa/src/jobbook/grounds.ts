// What the records say for one of several values: who else wrote it, whether it was found so or read
// so afterwards, what its writer photographed and noted that day.
import { nameOf, rowsIn, text, type Rec } from "../records/fields";
import type { Repository } from "../records/repository";
import type { Side } from "../records/rules";
import { B } from "../text/jobbook";
import { rough } from "./scene";

/** What a ground is read from. */
export const grounds = ["kept", "reading", "photo", "note"] as const;

export interface Ground {
  words: string[];
  /** It was tried: found, read, or written by more than one hand. */
  tried: boolean;
}

/** Nearer than this two sizes are the same finding, in inches. */
const SAME = 0.0005;

const links = ["feature", "fixture", "machine", "setup", "step"];
const isAbout = (r: Rec, id: string): boolean => links.some((key) => text(r, key) === id);

export function groundOf(repo: Repository, rec: Rec, side: Side, who: (by: string) => string): Ground {
  const sizes = Object.values(side.in ?? {}).map(Number);
  const says = (typed: unknown, thou = false): boolean => {
    const n = rough(typed);
    const inches = n === undefined ? NaN : thou && !/[a-z"]/i.test(typed as string) ? n / 1000 : n;
    return sizes.some((size) => Math.abs(size - inches) < SAME);
  };
  const words: string[] = [];
  const also = (side.also ?? []).map(who);
  if (also.length > 0) words.push(B.clash.also(also.join(", ")));
  const found = repo
    .all("kept")
    .some(
      (r) =>
        isAbout(r, rec.id) &&
        [text(r, "measured"), ...rowsIn(r.values["found"]).map((row) => row["value"])].some((t) => says(t)),
    );
  if (found) words.push(B.clash.tried);
  const read = repo.all("reading").find((r) => isAbout(r, rec.id) && says(text(r, "value"), true));
  const gauge = read && repo.get(text(read, "gauge"));
  if (read) words.push(gauge ? B.clash.readWith(nameOf(gauge)) : B.clash.read);
  const own = (kind: string): Rec[] =>
    repo.all(kind).filter((r) => text(r, "about") === rec.id && r.by === side.by && sameDay(r.made, side.at));
  const [photos, note] = [own("photo").length, own("note")[0]];
  if (photos > 0) words.push(B.clash.photos(photos));
  if (note) words.push(B.clash.note(text(note, "text").slice(0, 60)));
  return { words, tried: found || !!read || also.length > 0 };
}

const sameDay = (a: string, b: string): boolean => {
  const [x, y] = [new Date(a), new Date(b)];
  return !Number.isNaN(x.getTime()) && x.toDateString() === y.toDateString();
};
