// Which setup runs on this phone's machine, and what is next there: what a worksheet takes its
// numbers from when it is opened from anywhere.
import { byOrder, text, yes, type Rec } from "../records/fields";
import type { Repository } from "../records/repository";
import { faceBefore } from "./face";

/** Of several setups that run, the one touched last. */
export const runningIn = (repo: Repository): Rec | undefined =>
  repo
    .all("setup")
    .filter((s) => text(s, "state") === "running")
    .sort((a, b) => (a.changed < b.changed ? 1 : -1))[0];

/** The next step of a setup; of those still open one that opens such a worksheet goes before. */
export function nextIn(repo: Repository, setup: Rec, sheets: readonly string[] = []): Rec | undefined {
  const open = repo
    .all("step")
    .filter((s) => text(s, "setup") === setup.id && !yes(s, "done"))
    .sort(byOrder);
  return open.find((s) => sheets.includes(text(s, "worksheet"))) ?? open[0];
}

/** Whether a setup ran the last time that Start was shown. */
export const ranBefore = (): boolean => faceBefore()?.kind === "running";

/** The record that a worksheet is opened from while a setup runs: its step, or the setup. */
export async function findRunning(repo: Repository, sheets: readonly string[]): Promise<string> {
  await repo.load("setup");
  const setup = runningIn(repo);
  if (!setup) return "";
  await repo.load("step");
  return (nextIn(repo, setup, sheets) ?? setup).id;
}
