// What a worksheet takes from the job when it is opened from a setup, a step, a feature, a part or
// the job itself. The rules decide; this supplies the records they ask for, from memory where they
// are loaded.
import { readDoc, text, type Rec } from "../records/fields";
import type { Links } from "../records/kept";
import { kindOf, type Repository } from "../records/repository";
import type { Prefill } from "../screen/load";

type Texts = Record<string, string>;

/**
 * A round of tapping in: the readings by their ids, "" where none was taken yet, and the move made
 * before it.
 */
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

/** Asks the rules, and again with the records they miss, until this phone has no more of them. */
export async function ask<T>(repo: Repository, op: string, given: object): Promise<T> {
  const docs = new Map<string, unknown>();
  const have: string[] = [];
  const bring = (rec: Rec | undefined) => {
    if (!rec || docs.has(rec.id)) return;
    const { id, kind, made, values, units } = rec;
    docs.set(id, { id, type: kind, made, values, units });
  };
  for (;;) {
    const request = { ...given, docs: [...docs.values()], have };
    const out = await repo.ask<T & { missing: string[] }>(op, request);
    if (out.missing.length === 0) return out;
    have.push(...out.missing);
    for (const lack of out.missing) {
      const [kind = "", field = "", id = ""] = lack.split(" ");
      const doc = kind === "whole" ? await repo.doc(field) : undefined;
      if (doc) docs.set(field, { ...doc, made: repo.get(field)?.made });
      else if (kind.includes(":")) bring(repo.get(lack) ?? readDoc(await repo.doc(lack)));
      else {
        await repo.load(kind);
        for (const rec of repo.all(kind)) if (!field || text(rec, field) === id) bring(rec);
      }
    }
  }
}

export async function prefill(repo: Repository, worksheet: string, id: string): Promise<Given> {
  const { from, ...out } = await ask<Filled>(repo, "prefill", { worksheet, [kindOf(id)]: id });
  return { ...out, from: Object.fromEntries(Object.entries(from).map(([key, f]) => [key, f.label])) };
}
