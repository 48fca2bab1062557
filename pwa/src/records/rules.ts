// The job book's rules, compiled once for office and phone, called through the given function.
import type { FieldFault, RecordKind, RecordKinds } from "../engine/contract.gen";
import type { Doc, Heads } from "./fields";

/** One operation: JSON in, JSON out. */
export type Ask = (op: string, json: string) => Promise<string>;

/** What was to be stored breaks a rule; nothing was stored. */
export class Refused extends Error {
  override name = "Refused";
  constructor(readonly faults: FieldFault[]) {
    super(faults.map((f) => f.message).join(" "));
  }
}

export interface Author {
  device: string;
  by: string;
  at: string;
  unit: "in" | "mm";
}

export interface Told {
  id: string;
  at: string;
  by: string;
  unit?: string;
  v: unknown;
}

/** One of several values, by the hand that first wrote it. */
export interface Side extends Told {
  /** The edit in which it was first written, and who else wrote the same. */
  wrote?: string;
  also?: string[];
  /** Its lengths in inches, by field or column. */
  in?: Record<string, string>;
}

export interface Clash {
  field: string;
  label: string;
  /** All current edits of the field, which the values are from. */
  seen: string[];
  /** Lengths of the record in inches, by field. */
  of: Record<string, string>;
  values: Side[];
}

export interface Past extends Told {
  field: string;
  label: string;
  over?: string[];
  current?: boolean;
}

type Wrong = { error?: FieldFault; faults?: FieldFault[] };

/** Asks one operation; what the rules refuse is thrown. */
export async function call<T>(ask: Ask, op: string, given: unknown): Promise<T> {
  const out = JSON.parse(await ask(op, JSON.stringify(given))) as T & Wrong;
  if (out.error) throw new Refused([out.error]);
  return out;
}

const refuse = <T extends Wrong>(out: T): T => {
  if (out.faults && out.faults.length > 0) throw new Refused(out.faults);
  return out;
};

export const makeDoc = async (
  ask: Ask,
  given: { type: string; ms: number; chance: string; set: Record<string, unknown>; demo?: string } & Author,
): Promise<Doc> => refuse(await call<{ doc: Doc } & Wrong>(ask, "new", given)).doc;

export const editDoc = async (
  ask: Ask,
  given: { doc: Doc; set: Record<string, unknown>; seen: Heads } & Author,
): Promise<Doc> => refuse(await call<{ doc: Doc } & Wrong>(ask, "edit", given)).doc;

export const mergeDocs = (ask: Ask, docs: Doc[]) =>
  call<{ doc: Doc; same: number[]; clashes: string[] }>(ask, "merge", { docs });

export const kinds = async (ask: Ask): Promise<RecordKind[]> =>
  (await call<RecordKinds>(ask, "describe", {})).kinds;

export const clashesOf = async (ask: Ask, doc: Doc): Promise<Clash[]> =>
  (await call<{ clashes: Clash[] }>(ask, "clashes", { doc })).clashes;

export const historyOf = async (ask: Ask, doc: Doc): Promise<Past[]> =>
  (await call<{ history: Past[] }>(ask, "history", { doc })).history;
