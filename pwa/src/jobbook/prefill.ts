// What a worksheet takes from the job when it is opened from a setup, a step, a feature, a part or the job itself. The
// rules decide; this brings them the records they name, from memory where they are there.
import { readDoc, text, type Doc, type Rec } from "../records/fields";
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
  job: string;
  rounds: Partial<Record<"tap" | "head", Round[]>>;
}

/** With the rounds of a tapping in, where that is asked for. */
export type Given = Prefill & Pick<Filled, "rounds">;

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
    const request = { ...given, docs: [...docs.values()], have };
    const out = await shelf.ask<T & { missing: string[] }>(op, request);
    if (out.missing.length === 0) return out;
    have.push(...out.missing);
    for (const lack of out.missing) {
      const [kind = "", field = "", id = ""] = lack.split(" ");
      const doc = kind === "whole" ? await shelf.doc(field) : undefined;
      if (doc) docs.set(field, { ...doc, made: shelf.get(field)?.made });
      else if (kind.includes(":")) bring(shelf.get(lack) ?? readDoc((await shelf.doc(lack)) ?? ({} as Doc)));
      else {
        await shelf.load(kind);
        for (const rec of shelf.all(kind)) if (!field || text(rec, field) === id) bring(rec);
      }
    }
  }
}

export async function prefill(shelf: Shelf, worksheet: string, id: string): Promise<Given> {
  const { from, ...out } = await ask<Filled>(shelf, "prefill", { worksheet, [kindOf(id)]: id });
  return { ...out, from: Object.fromEntries(Object.entries(from).map(([key, f]) => [key, f.label])) };
}
