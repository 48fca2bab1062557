import { here } from "./words";

/** Words of the new setup and of what stands ready to be added. */
export const N = here({
  title: (job: string) => (job ? `New setup, ${job}` : "New setup"),
  ask: { machine: "On which machine?", fixture: "Held in what?", part: "Which part?" },
  table: "On the table",
  others: "others",
  part: "New part",
  partLike: "name",
  more: "More",
  card: "New card",
  run: (n: string) => `Run setup ${n}`,
  setup: "Setup",
  /** A job that was neither named nor has a part. */
  job: (day: string) => `Job of ${day}`,
  scale: "not to scale yet",
  zero: (datum: string) => `zero: ${datum}`,
  foot: "What to do",
  back: "Back to new setup",
  add: (label: string) => `Add: ${label.toLowerCase()}`,
  which: "New card",
  another: "another",
  yours: "yours",
  repeatJob: "Repeat the job",
  repeatIntro: "Readings become the expected ones; ticks and dates stay behind.",
  repeatDone: "The job is repeated.",
  /** Stands in the notes of what was added from stock. */
  typical: "Typical of its kind and size, not measured: put in what yours has.",

  /** What stands ready, one of each: its name goes before the size. */
  stock: {
    turret: "Turret mill",
    mill: "Knee mill",
    borer: "Borer",
    vbm: "Vertical boring mill",
    drill: "Radial drill",
    grinder: "Surface grinder",
    angle: "Angle plate",
    vise: "Vise",
    subplate: "Sub-plate",
    parallel: "Parallels",
    pair: "1-2-3 blocks",
    vblock: "V-blocks",
    rotary: "Rotary table",
    iron: "Grey iron",
    ductile: "Ductile iron",
    steel: "Steel",
    aluminium: "Aluminium",
    bronze: "Bronze",
  },
  pair: "a pair",
});
