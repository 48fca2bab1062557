import { useEffect, useState } from "preact/hooks";
import type { Describe, Page, UnitSystem } from "../engine/contract.gen";
import { loadDraft } from "../form/drafts";
import { useApp, useLoaded } from "../screen/context";
import type { FromJob, Prefill } from "../screen/load";
import { findRunning, ranBefore } from "../screen/running";
import { W } from "../text/words";
import { bare } from "./bare";
import { clashesOf, sheetOf, type Texts } from "./ways";
import { useTrouble } from "./use-trouble";

/** What a page takes from the job. */
export interface Job {
  /** The step, setup or other record that it is opened from. */
  id: string;
  /** By worksheet. */
  takes: Record<string, Prefill>;
  /** The worksheet that the step or its feature asks for; "" where nothing tells them apart. */
  best: string;
  /** What the job does with an answer. */
  book: FromJob;
}

export interface Asked {
  page: Page | undefined;
  /** The record that it was opened from; none takes the setup that runs. */
  from: string | undefined;
  /** Whether a setup that runs counts: not where a kept record or a job is opened. */
  runs: boolean;
}

/**
 * What the job knows for a page: from the record it was opened from, else from the setup that runs.
 * What it cannot give is typed by hand.
 */
export function useFromJob({ page, from, runs }: Asked): { job?: Job | undefined; waits: boolean } {
  const { bridge, book, bookFault, load, say } = useApp();
  // Without the arithmetic nobody can say what the job knows.
  const stopped = useTrouble(bridge);
  const sheets = page?.ways.map((w) => w.sheet) ?? [];
  const on = !!page && (!!from || runs);
  const asked = useLoaded(
    () =>
      book && on
        ? (async (): Promise<Job | undefined> => {
            const id = from ?? (await findRunning(book.repo, sheets));
            if (!id) return undefined;
            const late = await load.fromJob();
            return { id, ...(await late.prefillAll(book.repo, sheets, id)), book: late };
          })()
        : undefined,
    [book, on, from, sheets.join()],
  );
  useEffect(() => {
    if (asked.fault) say(`${W.sheet.jobFailed} ${asked.fault}`);
    // eslint-disable-next-line react-hooks/exhaustive-deps -- the shell makes say anew each time
  }, [asked.fault]);
  // Where nothing ran the last time nobody waits for it; a setup that runs all the same is taken as
  // long as nothing is typed.
  const [likely] = useState(ranBefore);
  const waits = on && !stopped && !bookFault && asked.loading && !asked.fault && (!!from || likely);
  const late = !from && !likely && !!page && loadDraft(page.name) !== undefined;
  return { job: late ? undefined : asked.value, waits };
}

/** The worksheet that a page begins with: the one that was asked for, else the one for what is next. */
export const firstOf = (page: Page, opened: string, job: Job | undefined): string =>
  (opened === page.name && job?.best) || opened;

/**
 * The texts that a page begins with from the job: those of the worksheet that it begins with, then
 * those of the others.
 */
export function takenOf(
  describe: Describe,
  page: Page,
  opened: string,
  job: Job,
  unit: UnitSystem,
): { inputs: Texts; from: Texts } {
  const first = firstOf(page, opened, job);
  const clashes = clashesOf(describe, page);
  const order = [...page.ways].sort((a, b) => Number(b.sheet === first) - Number(a.sheet === first));
  const inputs: Texts = {};
  const from: Texts = {};
  for (const { sheet } of order) {
    const takes = job.takes[sheet];
    for (const f of sheetOf(describe, sheet)?.inputs ?? []) {
      const text = takes?.inputs[f.key];
      const name = sheet !== first && clashes.includes(f.key) ? `${sheet}.${f.key}` : f.key;
      if (!text || name in inputs) continue;
      inputs[name] = bare(f, text, unit);
      from[name] = takes.from[f.key] ?? "";
    }
  }
  return { inputs, from };
}
