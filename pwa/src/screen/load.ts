// Lazy imports. The shell passes the loaders in (app/lazy.ts holds every dynamic import), so that
// no screen imports what another one imports lazily, and imports between folders run one way.
import type { ComponentType } from "preact";
import type { Answer, UnitSystem } from "../engine/contract.gen";
import type { Links } from "../records/kept";
import type { Repository } from "../records/repository";

/** Props of a screen. */
export interface ScreenProps {
  view: string;
  id: string;
  more: Record<string, string>;
}

/** What a worksheet takes from the job it was opened from. */
export interface Prefill {
  inputs: Record<string, string>;
  /** Where each came from, in words. */
  from: Record<string, string>;
  links: Links;
  job: string;
}

/** Shows what the job does with an answer. */
export type Outcome = ComponentType<{
  answer: Answer;
  unit: UnitSystem;
  inputs: Record<string, string>;
  links: Links;
}>;

/** The job book's part in a worksheet. */
export interface FromJob {
  prefill: (repo: Repository, worksheet: string, from: string) => Promise<Prefill>;
  Outcome: Outcome;
}

export interface Loaders {
  screens: (view: string) => Promise<{ Screen: ComponentType<ScreenProps> }>;
  fromJob: () => Promise<FromJob>;
  /** All drawings but the hole's. */
  drawings: () => Promise<{ Shown: ComponentType<{ name: string; answer: Answer }> }>;
  /** Export and import by file, and the invented job. */
  transfer: () => Promise<typeof import("../records/transfer")>;
}
