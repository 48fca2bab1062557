// Lazy imports. The shell passes the loaders in (app/lazy.ts holds every dynamic import), so that
// no screen imports what another one imports lazily, and imports between folders run one way.
import type { ComponentType } from "preact";
import type { Answer, Sheet, UnitSystem } from "../engine/contract.gen";
import type { Links } from "../records/kept";
import type { Repository } from "../records/repository";
import type { Face, Owed } from "./face";

/** Props of a screen. */
export interface ScreenProps {
  view: string;
  id: string;
  more: Record<string, string>;
}

type Texts = Record<string, string>;

/** What a worksheet takes from the job it was opened from. */
export interface Prefill {
  inputs: Texts;
  /** Where each came from, in words. */
  from: Texts;
  /** What a kept answer belongs to. */
  links: Links;
  /** The other records it was opened at, by their kind. */
  at: Partial<Record<"part" | "fixture" | "machine" | "tool", string>>;
  job: string;
}

/** An answer that is kept, with what it was given by the job. */
export interface Keeping {
  answer: Answer;
  unit: UnitSystem;
  inputs: Texts;
  taken: Prefill;
}

/** What was written beside a kept answer, in a few words, and the way back. */
export interface Written {
  what: string;
  undo: () => Promise<void>;
}

/** The job book's part in a worksheet. */
export interface FromJob {
  prefillAll: (
    repo: Repository,
    worksheets: readonly string[],
    from: string,
  ) => Promise<{ takes: Record<string, Prefill>; best: string }>;
  /** Writes into the records what an answer says of them. */
  writeBack: (repo: Repository, k: Keeping) => Promise<Written>;
  /** Whether the job has more to do with a kept answer, which a person decides. */
  offers: (repo: Repository, k: Keeping) => boolean;
  After: ComponentType<Keeping>;
}

export interface MillProps {
  /** Is told what runs, why it cannot be known, and whether all of it has come. */
  tell: (face: Face | undefined, fault: string, whole: boolean) => void;
}

/** The job book's part in Start. */
export interface MillBook {
  Mill: ComponentType<MillProps>;
  pay: (repo: Repository, owed: Owed, say: (text: string, undo?: () => void) => void) => Promise<void>;
}

export interface Loaders {
  screens: (view: string) => Promise<{ Screen: ComponentType<ScreenProps> }>;
  fromJob: () => Promise<FromJob>;
  mill: () => Promise<MillBook>;
  /** All drawings but the hole's. */
  drawings: () => Promise<{ Shown: ComponentType<{ sheet: Sheet; answer: Answer }> }>;
  /** Export and import by file, and the invented job. */
  transfer: () => Promise<typeof import("../records/transfer")>;
}
