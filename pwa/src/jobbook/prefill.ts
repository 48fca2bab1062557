// What a worksheet takes from the job when it is opened from a setup, a step, a feature, a part or the job itself. The
// rules decide; this brings them the records they name, from memory where they are there.
import { readDoc, text, type Rec } from "../records/fields";
import type { Links } from "../records/kept";
import { kindOf, type Shelf } from "../records/repository";
import type { Prefill } from "../screen/load";

type Texts = Record<string, string>;

/** A round of tapping in: the readings by their ids, "" where none was taken yet, and the move made before it. */
export interface Round {
  n: number;
  reads: string[];
  move: string;
}

interface Filled {
  inputs: Texts;
  from: Record<string, { label: string }>;
  links: Links;
  job?: string;
  rounds?: Record<"tap" | "head", Round[]>;
}

/** With the rounds of a tapping in, where that is asked for. */
export type Given = Prefill & Pick<Filled, "rounds">;

/** What the rules need besides what they were given. */
interface Lacking {
  missing: string[];
  /** All of a kind, or those of it whose field names a record. */
  wanted: [kind: string, field: string, id: string][];
  /** Records of which more is needed than is held in memory. */
  whole: string[];
}

/** Asks the rules, and again with what they lack until they lack nothing that this phone has. */
export async function ask<T>(shelf: Shelf, op: string, given: object): Promise<T> {
  const docs = new Map<string, unknown>();
  const have: string[] = [];
  const bring = (rec: Rec | undefined) => {
    if (!rec || docs.has(rec.id)) return;
    const { id, kind, made, values, units } = rec;
    docs.set(id, { id, type: kind, made, values, units });
  };
  for (;;) {
    const out = await shelf.ask<T & Lacking>(op, { ...given, docs: [...docs.values()], have });
    const { missing, wanted, whole } = out;
    if (missing.length + wanted.length + whole.length === 0) return out;
    have.push(...missing, ...wanted.map((w) => w.join(" ")), ...whole.map((id) => `whole ${id}`));
    for (const id of missing) {
      const doc = shelf.get(id) ? undefined : await shelf.doc(id);
      bring(shelf.get(id) ?? (doc && readDoc(doc)));
    }
    for (const [kind, field, id] of wanted) {
      await shelf.load(kind);
      for (const rec of shelf.all(kind)) if (!field || text(rec, field) === id) bring(rec);
    }
    for (const doc of await shelf.docs(whole)) docs.set(doc._id, { ...doc, made: shelf.get(doc._id)?.made });
  }
}

export async function prefill(shelf: Shelf, worksheet: string, id: string): Promise<Given> {
  const { from, job = "", ...out } = await ask<Filled>(shelf, "prefill", { worksheet, [kindOf(id)]: id });
  return { ...out, job, from: Object.fromEntries(Object.entries(from).map(([key, f]) => [key, f.label])) };
}
