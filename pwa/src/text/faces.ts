/** Words of the drawn records. */
import { here } from "./words";

const count = (n: number, one: string, many: string): string => `${n} ${n === 1 ? one : many}`;

/** The kinds of places, by their keys; found by any text. */
const WHAT: Record<string, string> = {
  tapped: "Tapped",
  clear: "Drilled",
  dowel: "Dowel",
  bore: "Bored",
  plug: "Plugged",
  slot: "Slot",
  tee: "T-slot",
  rib: "Rib",
  groove: "Groove",
  repair: "Repair",
  ribgone: "Rib taken off",
  keep: "Keep clear",
  other: "Something else",
  hole: "Hole",
  boss: "Boss",
  area: "Face",
};

export const F = here({
  views: { list: "Places", setups: "Setups", history: "History", card: "Card" },
  add: "Add",
  addName: (name: string) => `Add ${name}`,
  save: "Save",
  cancel: "Cancel",
  change: "Change",
  out: (name: string) => `${name} taken off the list.`,
  takeOut: "Take off the list",
  middle: "Its middle",
  fits: "What fits it",
  noWhy: "Nobody wrote down why",
  why: "Why it is there",
  whyLike: "left stud, pump bracket",
  nowhere: "no X and Y yet",
  used: (n: number, last: string) => `${count(n, "setup", "setups")}${last ? `, last ${last}` : ""}`,
  places: (n: number) => count(n, "place", "places"),
  faces: "Faces",
  place: "Place",
  sizes: "Size",
  fixture: "Fixture",
  fixtures: "Fixtures",
  face: (n: number) => `face ${n}`,
  touch: "Touch about where it goes",
  added: (name: string) => `${name} added.`,
  changed: (name: string) => `${name} changed.`,
  size: { thread: "thread", dia: "diameter", wide: "width", long: "length", high: "height", depth: "depth" },
  name: "Name",
  more: "More",
  runs: { x: "along X", y: "along Y" },
  what: WHAT,
  kind: "Kind",
  last: (when: string) => `last set up ${when}`,
});
