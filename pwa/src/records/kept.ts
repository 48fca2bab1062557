// Kept plans. Each is a document of its own, so that two phones never edit one list.
import type { Answer, UnitSystem } from "../engine/contract.gen";
import { current, readDoc, text, type Doc, type Rec } from "./fields";

/** What a kept plan belongs to, by the ids of records. */
export interface Links {
  job?: string;
  setup?: string;
  step?: string;
  feature?: string;
}

/** A kept plan. */
export interface Kept {
  _id: string;
  _rev: string;
  type: "kept";
  job: string;
  worksheet: string;
  unit: UnitSystem;
  /** Texts as typed. */
  inputs: Record<string, string>;
  answer: Answer;
  note: string;
  /** Depth measured after drilling, as typed; empty until then. */
  measured: string;
  /** The device that made it. */
  device: string;
  /** When it was made, by that device's clock: RFC 3339 in UTC. */
  created: string;
  /** The device that wrote this revision, and when. */
  by: string;
  changed: string;
  /** Other versions of this record, written elsewhere at the same time and kept. */
  _conflicts?: string[];
  /** What it belongs to, where it was kept from the job book. */
  links?: Links;
  /** Fields that two devices filled in differently. */
  clashes?: string[];
  /** As it was read: what a change of it covers. */
  rec: Rec;
}

/** A plan as it is handed over to be kept. */
export type NewPlan = Pick<Kept, "job" | "worksheet" | "unit" | "inputs" | "answer"> &
  Partial<Pick<Kept, "note" | "measured">>;

/** What may be changed afterwards. */
export type Change = Partial<Pick<Kept, "job" | "note" | "measured">>;

/** What all ids of kept plans begin with. */
export const keptPrefix = "kept:";

/** A kept plan from its document, be it in the first, flat form; undefined when it is none. */
export function toKept(doc: unknown): Kept | undefined {
  const d = doc as Doc | undefined;
  const rec = d?.type === "kept" ? readDoc(d) : undefined;
  const answer = d?.f ? current(d.f["answer"]).at(-1)?.v : d?.["answer"];
  const inputs = rec?.values["inputs"];
  if (!d || !rec || rec.gone || typeof answer !== "object" || answer === null) return undefined;
  if (typeof inputs !== "object" || inputs === null) return undefined;
  const links: Links = {};
  for (const key of ["job", "setup", "step", "feature"] as const) {
    const id = text(rec, key);
    if (id) links[key] = id;
  }
  return {
    _id: rec.id,
    _rev: d._rev ?? "",
    type: "kept",
    job: text(rec, "jobname"),
    worksheet: text(rec, "worksheet"),
    unit: text(rec, "unit") === "mm" ? "mm" : "in",
    inputs: Object.fromEntries(
      Object.entries(inputs).filter((pair): pair is [string, string] => typeof pair[1] === "string"),
    ),
    answer: wholeAnswer(answer),
    note: text(rec, "note"),
    measured: text(rec, "measured"),
    device: typeof d["device"] === "string" ? d["device"] : rec.by,
    created: rec.made,
    by: rec.by,
    changed: rec.changed,
    links,
    rec,
    ...(rec.clashes.length > 0 && { clashes: rec.clashes }),
    ...(d._conflicts && { _conflicts: d._conflicts }),
  };
}

/** An answer as the screens read it: one that has another shape is without results and cautions. */
function wholeAnswer(answer: object): Answer {
  const { results, cautions, lines } = answer as Partial<Answer>;
  const objects = (x: unknown, key: string) =>
    typeof x === "object" &&
    x !== null &&
    Object.values(x).every((y: unknown) => typeof (y as Record<string, unknown> | null)?.[key] === "string");
  const sound =
    objects(results, "text") &&
    Array.isArray(cautions) &&
    objects(cautions, "text") &&
    (lines === undefined || Array.isArray(lines));
  return (sound ? answer : {}) as Answer;
}
