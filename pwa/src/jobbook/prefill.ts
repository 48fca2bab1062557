// What a worksheet takes from the job when it is opened from a setup, a step, a feature, a part or
// the job itself. The rules decide; this supplies the records they ask for, from memory where they
// are loaded.
import { readDoc, text, type Rec } from "../records/fields";
import { kindOf, type Repository } from "../records/repository";
import type { Prefill } from "../screen/load";

/**
 * A round of tapping in: the readings by their ids, "" where none was taken yet, and the move made
 * before it.
 */
export interface Round {
  n: number;
  reads: string[];
  move: string;
}

interface Filled extends Omit<Prefill, "from"> {
  from: Record<string, { label: string }>;
  rounds: Partial<Record<"tap" | "head", Round[]>>;
}

/** With the rounds of a tapping in, where that is asked for. */
export type Given = Prefill & Pick<Filled, "rounds">;

/** Asks the rules, and again with the records they miss, until this phone has no more of them. */
export async function ask<T>(
  repo: Repository,
  op: string,
  given: object,
  /** Records that stand nowhere yet, as views. */
  made: readonly { id: string }[] = [],
): Promise<T> {
  const docs = new Map<string, unknown>(made.map((d) => [d.id, d]));
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

const told = ({ from, ...out }: Filled): Given => ({
  ...out,
  from: Object.fromEntries(Object.entries(from).map(([key, f]) => [key, f.label])),
});

export const prefill = async (repo: Repository, worksheet: string, id: string): Promise<Given> =>
  told(await ask<Filled>(repo, "prefill", { worksheet, [kindOf(id)]: id }));

/** What all worksheets of a page take, asked together, and which of them the step or feature asks for. */
export async function prefillAll(
  repo: Repository,
  worksheets: readonly string[],
  id: string,
): Promise<{ takes: Record<string, Given>; best: string }> {
  type All = { worksheets: Record<string, Filled>; best?: string };
  const { worksheets: all, best = "" } = await ask<All>(repo, "prefill", { worksheets, [kindOf(id)]: id });
  return { takes: Object.fromEntries(Object.entries(all).map(([name, one]) => [name, told(one)])), best };
}
