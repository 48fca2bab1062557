// Which setup of a job runs: one at a time; when it is done the next one follows.
import type { RecordKind, UnitSystem } from "../engine/contract.gen";
import { plain, typedOf } from "../form/typed";
import { byOrder, nameOf, text, yes, type Rec } from "../records/fields";
import type { Changed, Repository } from "../records/repository";
import { B } from "../text/jobbook";

export const stepsOf = (repo: Repository, setup: string): Rec[] =>
  repo
    .all("step")
    .filter((s) => text(s, "setup") === setup)
    .sort(byOrder);

export const setupsOf = (repo: Repository, job: string): Rec[] =>
  repo
    .all("setup")
    .filter((s) => text(s, "job") === job)
    .sort(byOrder);

/** A message of what was done, and its undo. */
export interface Marked {
  words: string;
  undo: () => Promise<void>;
}

type Write = [Rec, Record<string, unknown>];

/** Fields in which an entry came meanwhile, and the way back. */
interface Written {
  met: boolean;
  undo: () => Promise<void>;
}

/** Writes one after the other; all of them or, where one is refused, none. */
async function writeAll(repo: Repository, list: Write[]): Promise<Written> {
  const done: [...Write, Changed][] = [];
  const undo = async () => {
    for (const [{ id, values }, set, now] of done.reverse()) {
      // Fields changed since then stay as they are.
      const mine = Object.keys(set).filter((k) => repo.get(id)?.values[k] === set[k]);
      await repo.change(now, Object.fromEntries(mine.map((k) => [k, values[k] ?? null])));
    }
  };
  try {
    for (const [rec, set] of list) done.push([rec, set, await repo.change(rec, set)]);
  } catch (err) {
    await undo().catch(() => undefined); // no room for that either: each page shows its state
    throw err;
  }
  return { met: done.some(([, , now]) => now.met.length > 0), undo };
}

const alsoMet = (met: boolean): string => (met ? B.clash.met : "");

const ran = (s: Rec): boolean => text(s, "state") === "running";

/**
 * Marks a setup; where it is to run, any other of its job that ran stops: done where all its steps
 * are ticked, else planned. from: the setup that hands over to it, which is done; an empty datum
 * then says where it comes from.
 */
export async function setState(repo: Repository, setup: Rec, state: string, from?: Rec): Promise<Marked> {
  if (state !== "running") {
    const { met, undo } = await writeAll(repo, [[setup, { state }]]);
    return { words: alsoMet(met), undo };
  }
  await repo.load("step");
  const job = text(setup, "job");
  const stop = setupsOf(repo, job).filter((s) => job && s.id !== setup.id && ran(s) && !s.newer);
  const list = stop.map((s): [Rec, { state: string }] => {
    const steps = stepsOf(repo, s.id);
    const done = s.id === from?.id || (steps.length > 0 && steps.every((x) => yes(x, "done")));
    return [s, { state: done ? "done" : "planned" }];
  });
  const note = from && !text(setup, "datum");
  const { met, undo } = await writeAll(repo, [
    [
      setup,
      {
        state,
        ...(!text(setup, "when") && { when: new Date().toISOString().slice(0, 10) }),
        ...(note && { datum: fit(B.setup.datumFrom(nameOf(from), text(from, "datum"))) }),
      },
    ],
    ...list,
  ]);
  return {
    words: [
      B.setup.running(nameOf(setup) || B.unnamed),
      ...list.map(([s, to]) => B.setup.stopped(nameOf(s) || B.unnamed, to.state)),
      note && B.setup.datumNoted,
      alsoMet(met),
    ]
      .filter(Boolean)
      .join(" "),
    undo,
  };
}

/**
 * The setup that takes over from a running one with no step open: the next of its job in order that
 * is not done.
 */
export function nextAfter(repo: Repository, setup: Rec): Rec | undefined {
  const job = text(setup, "job");
  if (!job || !ran(setup) || stepsOf(repo, setup.id).some((s) => !yes(s, "done"))) return undefined;
  const all = setupsOf(repo, job);
  return all
    .slice(all.findIndex((s) => s.id === setup.id) + 1)
    .find((s) => text(s, "state") !== "done" && !s.newer);
}

/** A setup's number in its job: the next whole one. */
export const nextOrder = (repo: Repository, job: string): string =>
  String(Math.floor(Math.max(0, ...setupsOf(repo, job).map((s) => parseFloat(text(s, "order")) || 0))) + 1);

/** What of a setup holds for the next one of its job, however the part sits then. */
const HOLDS = ["indicator", "sign", "wanted"];

/**
 * What the setup before says that still holds in a new one, as it would be typed: what is read with
 * and how true it has to be, where the zero comes from, and on the same machine how the same fixture
 * stands. Where a datum comes from another setup already, it goes on doing so.
 */
export function inherited(
  before: Rec | undefined,
  kind: RecordKind,
  unit: UnitSystem,
  on: { machine: string; fixture: string },
): Record<string, string> {
  if (!before) return {};
  const same = ["machine", "fixture"].every((key) => on[key as keyof typeof on] === text(before, key));
  const out: Record<string, string> = {};
  for (const f of kind.fields) {
    if (!HOLDS.includes(f.key) && !(same && f.key === "stands")) continue;
    const typed = plain(typedOf(f, before.values[f.key], before.units[f.key], unit));
    if (typed) out[f.key] = typed;
  }
  const datum = text(before, "datum");
  const handed = datum.startsWith(B.setup.datumFrom("", "").trim() + " ");
  return { ...out, datum: handed ? datum : fit(B.setup.datumFrom(nameOf(before), datum)) };
}

/** A datum takes 200 bytes. */
function fit(words: string): string {
  const letters = [...words];
  while (new Blob(letters).size > 200) letters.pop();
  return letters.join("");
}
