import { here } from "./words";

/** What stands at the mill: the running setup, its readings, and indicating it in. */
export const M = here({
  step: (n: number, all: number) => `Step ${n} of ${all}`,
  steps: (n: number) => (n === 1 ? "1 step" : `${n} steps`),
  dots: (done: number, all: number) => `${done} of ${all} steps done`,
  within: (size: string) => `want within ${size}`,
  before: (ends: string) => `before: ${ends}`,
  allDone: "All steps done",
  noSteps: "No steps yet",
  addFirst: "Add the first step",
  done: "Done: next",
  doneLast: "Done: the last",
  finish: "Setup done",
  run: "Run this setup",
  paper: "On paper",
  repeat: "Repeat",
  state: { planned: "Planned", running: "Running", done: "Done" },

  pass: {
    name: "Time of a pass",
    start: "Time a pass",
    stop: "Stop",
    runs: "The watch runs.",
    kept: (took: string, planned: string) =>
      planned ? `Pass of ${took} kept; planned ${planned}.` : `Pass of ${took} kept.`,
    ticked: (words: string, took: string) => (took ? `${words} Pass of ${took} kept.` : words),
    last: (took: string) => `pass ${took}`,
    wrong: {
      back: "The phone's clock was set back since the start. Type the time, or drop it.",
      long: "The start is over 12 hours ago. Type the time, or drop it.",
    },
    drop: "Drop it",
  },

  light: {
    label: "Light",
    on: "Switch the phone's light on",
    off: "Switch the phone's light off",
    none: "This phone has no light that a page may switch on.",
    refused:
      "The light needs the camera, which is not allowed: allow it for this page in the browser's settings.",
    busy: "The camera is in use elsewhere. Close that, then touch Light again.",
  },

  views: { steps: "Steps", readings: "Readings", sits: "Sits" },
  foot: "Keys of this setup",

  /** The headline while the needle is awaited. */
  read: (place: string) => `Read ${place}`,
  readCount: (read: number, all: number) => `${read} of ${all} read`,
  last: (text: string) => `last time ${text}`,
  high: (times: number) => `height drawn ${times} times`,
  above: "from above",
  away: "needle + is low",
  near: "needle + is high",
  same: "Same",
  undo: "Undo",
  take: "Take it",
  more: "More",
  boxes: "Readings by place",
  addPlace: "Other place",
  noFeature: "no face or hole",
  list: "All readings",
  line: "Is it in line?",
  into: "Indicate it in",

  tap: {
    moved: { tap: "Tapped: read it", shim: "Shimmed: read it", head: "Turned: read it" },
    stuck: "It did not move",
    stuckSaid: "Kept as: it did not move.",
    again: "Read it again",
    rounds: "Rounds",
    round: "round",
    movedBefore: "moved",
    why: "Why",
    done: "Done",
    holds: "holds",
    start: "start",
    aimed: (aim: string, gone: string) => `${aim}: ${gone}`,
    aimedGone: "aimed: gone",
    aim: (size: string) => `aim ${size}`,
    chart: "Out of line after each tap",
    chartSays: (list: string) => `Out of line, at first and after each tap: ${list}`,
  },
});
