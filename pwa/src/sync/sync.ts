// Replicates records both ways between this device and the office whenever it can be reached.
//
// A push is one short replication for each burst of changes, since only its end says for certain up
// to where the office has everything; the pull is one that stays open. PouchDB's own retrying is
// off: it would go on from what it knew before the break, while the office may have been restored
// from a backup meanwhile. Here each new start first asks which store answers, and one not met
// before is compared from the beginning.
import PouchDB, { type Failure, type Feed, type ReplicationResult, type Stored } from "pouchdb-core";
import { isFull, unlessFull } from "../storage/quota";
import { readLocal, writeLocal } from "../storage/local";
import { atStart, sayState, type Facts, type SyncState, type Trouble } from "./status";
import { countWaiting, readPushed, writePushed, type Pushed } from "./waiting";
import { readerWall, reasonOf as reason, wallOf, type Wall } from "./connection";

/** The office, as far as replication needs it. */
export interface Office {
  /** The store's identity; rejects when it cannot be reached. */
  identity(): Promise<string>;
  /** Its book, opened anew for each start. */
  open(): PouchDB;
}

export interface SyncOptions {
  db: PouchDB;
  device: string;
  office: Office;
  /** Milliseconds before the first retry, and at most before any further one. */
  firstWait?: number;
  longestWait?: number;
  /** Milliseconds of quiet after a change before it is pushed. */
  settle?: number;
  /** What this device may do at the office; undefined where it is not paired. */
  role?: () => "owner" | "hand" | "reader" | undefined;
  now?: () => Date;
}

type Refused = Record<string, { rev: string; reason: string }>;

export class Sync {
  state: SyncState;
  private facts: Facts = { ...atStart };
  private pushed: Pushed | undefined;
  private refused: Refused = {};
  private listeners = new Set<(state: SyncState) => void>();
  private remote: PouchDB | undefined;
  private pull: Feed<ReplicationResult> | undefined;
  private push: Feed<ReplicationResult> | undefined;
  private pushAgain = false;
  private wait: number;
  private timer: ReturnType<typeof setTimeout> | undefined;
  private settling: ReturnType<typeof setTimeout> | undefined;
  private counting: Promise<void> | undefined;
  private countAgain = false;
  /** When the confirmed sequence number was last stored. */
  private noted = 0;
  private starting = false;
  private closed = false;
  /** Out of quota: this device sends before it receives, and stores no checkpoint. */
  private full = false;
  private readonly now: () => Date;

  constructor(private options: SyncOptions) {
    this.now = options.now ?? (() => new Date());
    this.wait = options.firstWait ?? 1_000;
    this.state = sayState(this.facts, this.now());
  }

  /** Reads the stored state and starts trying. */
  async start(): Promise<void> {
    this.pushed = await readPushed(this.options.db);
    this.refused = (await readLocal<Refused>(this.options.db, "refused")) ?? {};
    this.tell({ confirmed: this.pushed?.confirmed, refused: this.refusedWords(), anew: this.pushed?.anew });
    // Counting very many waiting records takes a while: replication waits for it only a moment.
    const counted = this.count();
    await Promise.race([counted, new Promise((done) => setTimeout(done, 150))]);
    void counted.then(() => this.connect());
  }

  onState(tell: (state: SyncState) => void): () => void {
    this.listeners.add(tell);
    return () => this.listeners.delete(tell);
  }

  /** Something was written to the records, here or by the pull. */
  noticed(): void {
    void this.count();
    clearTimeout(this.settling);
    this.settling = setTimeout(() => this.pushNow(), this.options.settle ?? 250);
  }

  /** Tries at once, as when the user asks or the network came back. */
  again(): void {
    this.wait = this.options.firstWait ?? 1_000;
    if (!this.remote) {
      void this.connect();
    } else {
      this.pushNow();
    }
  }

  /** The office answered: while nothing waits, everything is confirmed as of now. */
  heard(): void {
    const { confirmed, waiting, connected } = this.facts;
    const now = this.now().getTime();
    if (connected && waiting === 0 && confirmed !== undefined && now - confirmed > 60_000) {
      this.tell({ confirmed: now });
    }
  }

  async close(): Promise<void> {
    this.closed = true;
    clearTimeout(this.timer);
    clearTimeout(this.settling);
    this.drop();
    await this.counting;
  }

  private async connect(): Promise<void> {
    if (this.closed || this.starting || this.remote) {
      return;
    }
    this.starting = true;
    clearTimeout(this.timer);
    try {
      const office = await this.options.office.identity();
      if (this.closed) {
        return;
      }
      if (office !== this.pushed?.office) {
        // A restored store has a new identity too: nothing is assumed to be there that it does not
        // confirm.
        this.pushed = { office, seq: 0, ...(this.pushed && { anew: { since: this.now().getTime() } }) };
        this.refused = {};
        await this.note(this.pushed);
        await writeLocal(this.options.db, "refused", this.refused).catch(unlessFull);
        this.tell({ refused: [], confirmed: undefined, anew: this.pushed.anew });
        await this.count();
      }
      this.remote = this.options.office.open();
      // Out of quota, push first: anything that is pulled would end the replication.
      if (!this.full) this.startPull(this.remote);
      this.pushNow();
    } catch (cause) {
      this.failed(cause);
    } finally {
      this.starting = false;
    }
  }

  private startPull(remote: PouchDB): void {
    const pull = PouchDB.replicate(remote, this.options.db, { live: true, retry: false, batch_size: 100 });
    this.pull = pull;
    pull.catch(() => undefined); // reported to the listener below
    pull.on("error", (cause: Failure) => this.pull === pull && this.failed(cause));
    pull.on("denied", (cause: Failure) => {
      this.tell({
        barrier: `A record from the office could not be stored here: ${reason(cause)}.`,
        wall: "",
      });
    });
  }

  private pushNow(): void {
    if (!this.remote || this.closed) {
      return;
    }
    if (this.options.role?.() === "reader") {
      void this.onlyRead();
      return;
    }
    if (this.push) {
      this.pushAgain = true;
      return;
    }
    const push = PouchDB.replicate(this.options.db, this.remote, {
      retry: false,
      batch_size: 10,
      ...(this.full && { checkpoint: "target" }), // the checkpoint is stored at the office alone
    });
    this.push = push;
    let denied = 0;
    this.tell({ moving: true });
    push.on("denied", (cause: Failure) => {
      denied++;
      void this.refuse(cause);
    });
    push.on("change", (batch: ReplicationResult) => {
      if (this.push === push) {
        void this.taken(batch.docs ?? []);
        if (batch.doc_write_failures === denied) {
          void this.reached(batch.last_seq, false);
        }
      }
    });
    push
      .then(
        async (result) => {
          if (this.push !== push) {
            return;
          }
          if (result.doc_write_failures > denied) {
            // Refused without saying which: none of the batch counts as being there.
            throw Object.assign(new Error(`${result.doc_write_failures - denied} records were not taken`), {
              status: 500,
            });
          }
          await this.reached(result.last_seq, true);
          this.push = undefined;
          this.wait = this.options.firstWait ?? 1_000;
          this.tell({ moving: false });
          if (!this.pull && this.remote) this.startPull(this.remote);
          if (this.pushAgain) {
            this.pushAgain = false;
            this.pushNow();
          }
        },
        (cause: unknown) => {
          throw cause;
        },
      )
      .catch((cause: unknown) => this.push === push && this.failed(cause));
  }

  /** A device that may only read sends nothing; what was written on it is reported instead. */
  private async onlyRead(): Promise<void> {
    await this.count();
    const pushed = this.pushed;
    if (!this.remote || !pushed) {
      return;
    }
    this.wait = this.options.firstWait ?? 1_000;
    if (this.facts.waiting > 0) {
      this.tell({ connected: true, barrier: readerWall.text, wall: readerWall.kind });
      return;
    }
    pushed.confirmed = this.now().getTime();
    await this.note(pushed);
    this.tell({ connected: true, barrier: "", wall: "", confirmed: pushed.confirmed });
  }

  /** The office has confirmed everything up to a sequence number. */
  private async reached(seq: number, whole: boolean): Promise<void> {
    const pushed = this.pushed;
    if (!pushed) {
      return;
    }
    const further = seq > pushed.seq;
    if (further) {
      pushed.seq = seq;
      // Stored before it is reported, so that a reload does not count again what the office has;
      // during a long push from time to time.
      if (whole || this.now().getTime() - this.noted > 1_000) {
        this.noted = this.now().getTime();
        await this.note(pushed);
      }
    }
    if (!whole) {
      await this.count();
      return;
    }
    const confirmed = this.now().getTime();
    await this.count();
    if (this.facts.waiting === 0 || pushed.confirmed === undefined) {
      pushed.confirmed = confirmed;
    }
    if (this.facts.waiting === 0 && pushed.anew && pushed.anew.done === undefined) {
      pushed.anew = { ...pushed.anew, done: confirmed };
    }
    await this.note(pushed);
    this.tell({ connected: true, barrier: "", wall: "", confirmed: pushed.confirmed, anew: pushed.anew });
  }

  /** Records that the office took; one refused before may be among them in a new form. */
  private async taken(docs: Stored[]): Promise<void> {
    const healed = docs.filter((doc) => doc._id in this.refused);
    if (healed.length > 0) {
      for (const doc of healed) {
        delete this.refused[doc._id];
      }
      this.tell({ refused: this.refusedWords() });
      await writeLocal(this.options.db, "refused", this.refused).catch(unlessFull);
    }
  }

  private async refuse(cause: Failure): Promise<void> {
    if (cause.id) {
      this.refused[cause.id] = { rev: cause.rev ?? "", reason: reason(cause) };
      // Stored before it is reported, so that a reload knows it too.
      await writeLocal(this.options.db, "refused", this.refused).catch(unlessFull);
      this.tell({ refused: this.refusedWords() });
    }
  }

  private refusedWords(): Trouble[] {
    return Object.entries(this.refused).map(([id, { reason }]) => ({
      id,
      text: `The office did not take this record: ${reason}. It is safe on this device; show it to whoever looks after the office machine.`,
    }));
  }

  /** Disconnects and schedules the next try. */
  private failed(cause: unknown): void {
    this.drop();
    this.full = isFull(cause);
    if (this.closed) {
      return;
    }
    const { text, kind } = this.wall(cause);
    this.tell({ connected: false, moving: false, barrier: text, wall: kind });
    const wait = this.wait * (0.75 + Math.random() / 2);
    this.wait = Math.min(this.wait * 2, this.options.longestWait ?? 30_000);
    clearTimeout(this.timer);
    this.timer = setTimeout(() => void this.connect(), wait);
  }

  /** Stores the confirmed sequence number; without room for it a reload compares again. */
  private note = (pushed: Pushed): Promise<void> => writePushed(this.options.db, pushed).catch(unlessFull);

  private drop(): void {
    const { pull, push } = this;
    this.pull = this.push = this.remote = undefined;
    this.pushAgain = false;
    pull?.cancel();
    push?.cancel();
  }

  /** Counts what waits, one count at a time, and again after a change meanwhile. */
  private count(): Promise<void> {
    if (this.counting) {
      this.countAgain = true;
      return this.counting;
    }
    const run = async () => {
      do {
        this.countAgain = false;
        const began = Date.now();
        const waiting = await countWaiting(
          this.options.db,
          this.pushed?.seq ?? 0,
          this.options.device,
          this.pushed !== undefined,
        );
        this.tell({ waiting });
        if (this.countAgain) {
          // Pauses three times as long as the count took: counting takes a quarter of the time.
          await new Promise((done) => setTimeout(done, 3 * (Date.now() - began)));
        }
      } while (this.countAgain && !this.closed);
    };
    this.counting = run()
      .catch((cause: unknown) => {
        const { text, kind } = this.wall(cause);
        this.tell({ barrier: text, wall: kind });
      })
      .finally(() => (this.counting = undefined));
    return this.counting;
  }

  private wall(cause: unknown): Wall {
    // Where no role is known, an office that asks for a token is one that this device was paired
    // with.
    return wallOf(cause, !this.options.role || this.options.role() !== undefined);
  }

  private tell(news: Partial<Facts>): void {
    this.facts = { ...this.facts, ...news };
    const state = sayState(this.facts, this.now());
    if (JSON.stringify(state) === JSON.stringify(this.state)) {
      return;
    }
    this.state = state;
    for (const tell of [...this.listeners]) {
      tell(state);
    }
  }
}

/**
 * The sentence alone of a paired device's connection error; "" when the office is only unreachable.
 */
export const barrier = (cause: unknown): string => wallOf(cause, true).text;
