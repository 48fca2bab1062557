// What the book keeps. Each kept plan is a document of its own, so that phones never edit one list between them.
import type { Answer, UnitSystem } from "../calc/types";

/** A plan as it is handed over to be kept. */
export interface NewPlan {
  job: string;
  worksheet: string;
  unit: UnitSystem;
  /** Texts as typed. */
  inputs: Record<string, string>;
  answer: Answer;
  note?: string;
  /** Depth measured after drilling, as typed; empty until then. */
  measured?: string;
}

/** A kept plan. */
export interface Kept {
  _id: string;
  _rev: string;
  type: "kept";
  job: string;
  worksheet: string;
  unit: UnitSystem;
  inputs: Record<string, string>;
  answer: Answer;
  note: string;
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
}

/** What may be changed afterwards. */
export type Change = Partial<Pick<Kept, "job" | "note" | "measured">>;
