// The book on this device: records in IndexedDB at once, replicated with the office when it can be reached.
import type { ImportReport } from "./export";
import type { Change, Kept, NewPlan } from "./records";
import type { SyncState } from "./state";

export interface Book {
  readonly name: string;
  /** This device's id, made here at the first start. */
  readonly device: string;
  /** Keeps a plan; when the promise is fulfilled it is stored on this device. */
  keep(plan: NewPlan): Promise<Kept>;
  /** Changes note, job or measured depth of a kept plan. */
  change(id: string, change: Change): Promise<Kept>;
  remove(id: string): Promise<void>;
  get(id: string): Promise<Kept | undefined>;
  /** All kept plans, newest first; of one job when it is named. */
  list(job?: string): Promise<Kept[]>;
  /** Job names with how many plans each holds, the one used last first. */
  jobs(): Promise<{ job: string; count: number }[]>;
  /** Calls back whenever records changed, made here or arrived; returns what ends that. */
  watch(tell: () => void): () => void;
  readonly sync: SyncState;
  onSync(tell: (state: SyncState) => void): () => void;
  /** Tries the office now instead of at the next turn. */
  syncNow(): void;
  /** Everything in one file, for the share sheet or a download. */
  exportAll(): Promise<File>;
  importAll(file: Blob): Promise<ImportReport>;
  close(): Promise<void>;
}

/** Opens the book, by default "shop", and starts replicating with this page's own origin. */
export declare function openBook(name?: string): Promise<Book>;
