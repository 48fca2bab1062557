// Exchanges records both ways between this device and the office whenever it can be reached.
//
// What comes and what goes have states of their own: one of them being stuck does not stop the
// other, and is told. Each new start of either first asks which store answers, since the office may
// have been restored from a backup meanwhile; one not met before is compared from the beginning.
import type PouchDB from "pouchdb-core";
import { unlessFull } from "../storage/quota";
import { readLocal, writeLocal } from "../storage/local";
import { E } from "../text/exchange";
import { rest } from "./aside";
import { readerWall, reasonOf, wallOf, type Wall } from "./connection";
import { Pull, type Pulled } from "./pull";
import { Push, type Suspects } from "./push";
import type { Leaf, Refusal, Remote } from "./remote";
import { atStart, sayState, type Facts, type SyncState, type Trouble } from "./status";
import { readPushed, Waiting, writePushed, type Pushed } from "./waiting";
import { mend } from "./mend";

/** What the office says of itself. */
export interface Welcome {
  /** The store's identity and the book. */
  office: string;
  /** What keeps it from working, in a sentence. */
  trouble?: string | undefined;
  /** Its clock, milliseconds since 1970. */
  time?: number | undefined;
}

/** The office, as far as the exchange needs it. */
export interface Office {
  /** Rejects when it cannot be reached. */
  welcome(): Promise<Welcome>;
  /** Its book; what is asked of it ends with the signal. */
  open(signal: AbortSignal): Remote;
}

export interface SyncOptions {
  db: PouchDB;
  device: string;
  office: Office;
  /** Milliseconds before the first retry, and at most before any further one. */
  firstWait?: number;
  longestWait?: number;
  /** Milliseconds from a change to its push. */
  settle?: number;
  /** Milliseconds after which the office is asked again how it is. */
  look?: number;
  /** What this device may do at the office; undefined where it is not paired. */
  role?: () => "owner" | "hand" | "reader" | undefined;
  now?: () => Date;
}

/** Records the office did not take; at: when they were last offered. */
type Refused = Record<string, { rev: string; reason: string; at?: number }>;

/** One direction. */
interface Side {
  /** Ends what runs just now. */
  stop?: AbortController | undefined;
  /** The office was met, and the direction has not failed since. */
  ready: boolean;
  connected: boolean;
  moving: boolean;
  wall: Wall;
  wait: number;
  timer?: ReturnType<typeof setTimeout> | undefined;
}

type Way = "pull" | "push";
const ways = ["pull", "push"] as const;

/** A clock this far off is told of, in milliseconds. */
const far = 5 * 60_000;

/** What came from the office is remembered until the push has passed it, up to this many. */
const remembered = 50_000;

const fine: Wall = { kind: "", text: "" };

export class Sync {
  state: SyncState;
  private facts: Facts = { ...atStart };
  private pushed: Pushed | undefined;
  private refused: Refused = {};
  private listeners = new Set<(state: SyncState) => void>();
  private sides: Record<Way, Side>;
  private pulling: Pull;
  private suspects: Suspects = new Map();
  private counter: Waiting;
  /** Revisions that came from the office and were not yet passed by the push, by record. */
  private came = new Map<string, Set<string>>();
  private pushAgain = false;
  /** All that was set aside or refused is to be tried at the next chance. */
  private pullAll = false;
  private pushAll = false;
  private settling: ReturnType<typeof setTimeout> | undefined;
  private looking: ReturnType<typeof setTimeout> | undefined;
  private counting: Promise<void> | undefined;
  private countAgain = false;
  private starting: Promise<void> | undefined;
  private startAgain = false;
  /** When the confirmed sequence number was last stored, and the office asked what it wants. */
  private noted = 0;
  private mended = -Infinity;
  private closed = false;
  private readonly now: () => Date;

  constructor(private options: SyncOptions) {
    this.now = options.now ?? (() => new Date());
    const side = (): Side => ({ ready: false, connected: false, moving: false, wall: fine, wait: 0 });
    this.sides = { pull: side(), push: side() };
    this.state = sayState(this.facts, this.now());
    const { db } = options;
    const came = (id: string, rev: string) => this.came.get(id)?.has(rev) ?? false;
    this.counter = new Waiting(db, options.device, came);
    this.pulling = this.pullFrom({ office: "", seq: 0 });
  }

  /** The pull of one office store; what one from another store still does is not heeded. */
  private pullFrom(pulled: Pulled): Pull {
    const only =
      <A extends unknown[]>(act: (...given: A) => void) =>
      (...given: A): void => {
        if (this.pulling === pull) act(...given);
      };
    const pull: Pull = new Pull(
      {
        db: this.options.db,
        now: () => this.now().getTime(),
        arriving: only(({ id, rev }: Leaf) => {
          if (this.came.size > remembered) this.came.clear(); // then the office is asked about them
          let revs = this.came.get(id);
          if (!revs) this.came.set(id, (revs = new Set()));
          revs.add(rev);
        }),
        missed: only((missed) => this.tell({ missed })),
        moving: only((moving) => {
          this.sides.pull.wait = 0;
          this.side("pull", { connected: true, moving, wall: fine });
        }),
      },
      pulled,
    );
    return pull;
  }

  /** Reads the stored state and starts trying. */
  async start(): Promise<void> {
    const { db } = this.options;
    this.pushed = await readPushed(db);
    this.refused = (await readLocal<Refused>(db, "refused")) ?? {};
    const pulled = await readLocal<Pulled>(db, "pulled");
    if (pulled) this.pulling = this.pullFrom(pulled);
    if (this.pushed) this.counter.reached(this.pushed.seq, true);
    this.tell({
      confirmed: this.pushed?.confirmed,
      refused: this.refusedWords(),
      missed: this.pulling.list(),
      anew: this.pushed?.anew,
      looking: true,
    });
    // Counting very many waiting records takes a while: the exchange waits for it only a moment.
    const counted = this.count().then(() => this.tell({ looking: false }));
    await Promise.race([counted, new Promise((done) => setTimeout(done, 150))]);
    void counted.then(() => this.connect());
  }

  onState(tell: (state: SyncState) => void): () => void {
    this.listeners.add(tell);
    return () => this.listeners.delete(tell);
  }

  /** Something was written to the records, here or by the pull. */
  noticed(): void {
    // Not put off by what follows: changes that come without end would put it off for ever.
    this.settling ??= setTimeout(() => {
      this.settling = undefined;
      void this.count();
      this.pushNow();
    }, this.options.settle ?? 250);
  }

  /** Tries at once, as when the network came back; all: also what was set aside or refused. */
  again(all = false): void {
    for (const way of ways) {
      const side = this.sides[way];
      clearTimeout(side.timer);
      side.timer = undefined;
      side.wait = 0;
    }
    this.pullAll ||= all;
    this.pushAll ||= all;
    void this.connect();
  }

  /** The office answered: while nothing waits, everything is confirmed as of now. */
  heard(): void {
    const { kind, connected, confirmed } = this.state;
    const now = this.now().getTime();
    if (connected && kind === "office" && confirmed !== undefined && now - confirmed > 60_000) {
      this.tell({ confirmed: now });
    }
  }

  async close(): Promise<void> {
    this.closed = true;
    clearTimeout(this.settling);
    clearTimeout(this.looking);
    this.drop();
    await this.counting;
  }

  /** Asks which store answers, and starts what does not run. */
  private connect(): Promise<void> {
    if (this.starting) {
      this.startAgain = true;
      return this.starting;
    }
    this.startAgain = false;
    this.starting = this.begin().finally(() => {
      this.starting = undefined;
      if (this.startAgain) void this.connect();
    });
    return this.starting;
  }

  private async begin(): Promise<void> {
    if (this.closed) return;
    this.lookLater();
    const { pull, push } = this.sides;
    try {
      await this.meet();
    } catch (cause) {
      for (const way of ways) {
        if (!this.sides[way].stop && !this.sides[way].timer) this.failed(way, cause);
      }
      return;
    }
    if (this.closed) return;
    if (pull.stop && this.pulling.due(this.pullAll)) this.end("pull");
    // One that the office refused something waits out its time; one that was cut off does not.
    for (const side of [pull, push]) side.ready ||= !side.timer || !side.wall.text;
    if (pull.ready && !pull.stop) this.pullNow();
    this.pushNow();
  }

  /**
   * Asks what the office says of itself; true for one not met before, which is compared from the
   * beginning.
   */
  private async meet(): Promise<boolean> {
    const asked = this.now().getTime();
    const { office, trouble, time } = await this.options.office.welcome();
    if (this.closed) return false;
    const now = this.now().getTime();
    // It said so at some moment between: the least that the clocks can differ by.
    const ahead = time === undefined ? 0 : now < time ? now - time : Math.max(0, asked - time);
    const off = Math.abs(ahead) > far;
    this.tell({ office: trouble ?? "", ahead: off ? (this.facts.ahead ?? ahead) : undefined });
    const before = this.pushed;
    const other = office !== before?.office;
    if (other) {
      // A restored store has a new identity too: nothing is assumed to be there that it does not
      // confirm.
      this.drop();
      this.pushed = { office, seq: 0, ...(before && { anew: { since: now } }) };
      this.refused = {};
      this.came.clear();
      this.counter.reached(0, true);
    }
    if (office !== this.pulling.office) {
      this.end("pull");
      this.pulling = this.pullFrom({ office, seq: 0 });
    }
    if (other) {
      const { pushed } = this;
      this.tell({ refused: [], missed: [], confirmed: undefined, anew: pushed?.anew });
      await this.note(pushed!);
      await writeLocal(this.options.db, "refused", this.refused).catch(unlessFull);
      await this.count();
    }
    return other;
  }

  /** Asks the office how it is every few minutes, and does then what is due by the hour. */
  private lookLater(): void {
    clearTimeout(this.looking);
    this.looking = setTimeout(() => void this.connect(), this.options.look ?? 3 * 60_000);
  }

  private pullNow(): void {
    const side = this.sides.pull;
    clearTimeout(side.timer);
    side.timer = undefined;
    const stop = (side.stop = new AbortController());
    const all = this.pullAll;
    this.pullAll = false;
    this.pulling
      .run(this.options.office.open(stop.signal), all)
      .catch((cause: unknown) => side.stop === stop && this.failed("pull", cause));
  }

  /** One push at a time: another that is asked for meanwhile follows it. */
  private pushNow(): void {
    const side = this.sides.push;
    if (this.closed || !side.ready) return;
    if (side.stop) {
      this.pushAgain = true;
      return;
    }
    clearTimeout(side.timer);
    side.timer = undefined;
    const stop = (side.stop = new AbortController());
    const remote = this.options.office.open(stop.signal);
    const run = async () => {
      do {
        this.pushAgain = false;
        await this.push(remote, stop);
      } while (side.stop === stop && this.pushAgain);
      if (side.stop === stop) side.stop = undefined;
    };
    run().catch((cause: unknown) => side.stop === stop && this.failed("push", cause));
  }

  /** Sends all there is, and makes sure that it was one and the same store that took it. */
  private async push(remote: Remote, stop: AbortController): Promise<void> {
    const { db, role } = this.options;
    const side = this.sides.push;
    const fresh = !side.connected;
    let asked = fresh;
    // Another store may have been met meanwhile: nothing is noted for that one.
    const only =
      <A extends unknown[]>(act: (...given: A) => Promise<void> | void) =>
      async (...given: A): Promise<void> => {
        if (side.stop !== stop) throw new DOMException("another start", "AbortError");
        await act(...given);
      };
    const push = new Push(
      {
        db,
        came: (id, rev) => this.came.get(id)?.has(rev) ?? false,
        passed: (id) => void this.came.delete(id),
        refused: only((leaf, cause) => this.refuse(leaf, cause)),
        taken: only((ids) => this.taken(ids)),
        reached: only((seq) => this.reached(seq)),
        asking: () => {
          asked = true;
          this.side("push", { moving: true });
        },
      },
      this.suspects,
    );
    const may = role?.() !== "reader";
    const all = await push.run(remote, this.pushed!.seq, may);
    if (may) {
      await this.offerAgain(push, remote);
      await this.mend(remote, fresh);
    }
    if (asked && (await this.meet())) {
      void this.connect();
      return;
    }
    if (side.stop === stop) await this.done(all);
  }

  /** Everything written so far is at the office; not all: this device may only read. */
  private async done(all: boolean): Promise<void> {
    const pushed = this.pushed!;
    const confirmed = this.now().getTime();
    await this.counter.look();
    const waiting = this.tellWaiting();
    this.sides.push.wait = 0;
    if (!all && waiting > 0) {
      this.side("push", { connected: true, moving: false, wall: readerWall });
      return;
    }
    if (waiting === 0 || pushed.confirmed === undefined) pushed.confirmed = confirmed;
    if (this.counter.count() === 0 && pushed.anew && pushed.anew.done === undefined) {
      pushed.anew = { ...pushed.anew, done: confirmed };
    }
    await this.note(pushed);
    this.tell({ confirmed: pushed.confirmed, anew: pushed.anew });
    this.side("push", { connected: true, moving: false, wall: fine });
  }

  /** Offers what was refused again, rarely. */
  private async offerAgain(push: Push, remote: Remote): Promise<void> {
    const now = this.now().getTime();
    const all = this.pushAll;
    this.pushAll = false;
    const due = Object.entries(this.refused).filter(([, { at = 0 }]) => all || Math.abs(now - at) >= rest);
    if (due.length === 0) return;
    for (const [, one] of due) one.at = now;
    await push.again(
      remote,
      due.map(([id]) => id),
    );
    await writeLocal(this.options.db, "refused", this.refused).catch(unlessFull);
  }

  /** Sends the office what it has lost, at each start and every hour. */
  private async mend(remote: Remote, fresh: boolean): Promise<void> {
    const now = this.now().getTime();
    if (!fresh && Math.abs(now - this.mended) < rest) return;
    this.mended = now;
    await mend(this.options.db, remote).catch(() => undefined); // an older one knows of no such thing
  }

  /** The office has everything up to a sequence number. */
  private async reached(seq: number): Promise<void> {
    const pushed = this.pushed!;
    pushed.seq = seq;
    this.counter.reached(seq);
    this.tellWaiting();
    // During a long push from time to time: a reload then does not begin from the start.
    if (Date.now() - this.noted > 1_000) {
      this.noted = Date.now();
      await this.note(pushed);
    }
  }

  /** Records that the office took; one refused before may be among them in a new form. */
  private async taken(ids: readonly string[]): Promise<void> {
    const healed = ids.filter((id) => id in this.refused);
    if (healed.length === 0) return;
    for (const id of healed) delete this.refused[id];
    await this.tellRefused();
  }

  private async refuse({ id, rev }: Leaf, cause: Refusal): Promise<void> {
    this.refused[id] = { rev, reason: reasonOf(cause), at: this.now().getTime() };
    await this.tellRefused();
  }

  /** Stored before it is reported, so that a reload knows it too. */
  private async tellRefused(): Promise<void> {
    await writeLocal(this.options.db, "refused", this.refused).catch(unlessFull);
    this.tell({ refused: this.refusedWords() });
    this.tellWaiting();
  }

  private refusedWords(): Trouble[] {
    return Object.entries(this.refused).map(([id, { reason }]) => ({ id, text: E.refused(reason) }));
  }

  /** Ends a direction that failed, and schedules its next try. */
  private failed(way: Way, cause: unknown): void {
    this.end(way);
    if (this.closed) return;
    const side = this.sides[way];
    const first = this.options.firstWait ?? 1_000;
    side.wait = side.wait === 0 ? first : Math.min(side.wait * 2, this.options.longestWait ?? 30_000);
    clearTimeout(side.timer);
    side.timer = setTimeout(
      () => {
        side.timer = undefined;
        void this.connect();
      },
      side.wait * (0.75 + Math.random() / 2),
    );
    this.side(way, { connected: false, moving: false, wall: this.wall(cause) });
  }

  /** Stores the confirmed sequence number; without room for it a reload compares again. */
  private note = (pushed: Pushed): Promise<void> => writePushed(this.options.db, pushed).catch(unlessFull);

  private end(way: Way): void {
    const side = this.sides[way];
    const { stop } = side;
    side.stop = undefined;
    side.ready = false;
    stop?.abort();
  }

  private drop(): void {
    for (const way of ways) {
      this.end(way);
      clearTimeout(this.sides[way].timer);
      this.sides[way].timer = undefined;
    }
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
        if (this.pushed) {
          await this.counter.look();
          this.tellWaiting();
        } else {
          // Nothing can have come from an office: all there is was written here. The store's own
          // count is quick however many there are. What was made and deleted by then, none lacks.
          const { doc_count } = await this.options.db.info();
          if (!this.pushed) this.tell({ waiting: doc_count });
        }
      } while (this.countAgain && !this.closed);
    };
    this.counting = run()
      .catch((cause: unknown) => this.side("push", { wall: this.wall(cause) }))
      .finally(() => (this.counting = undefined));
    return this.counting;
  }

  private tellWaiting(): number {
    const waiting = this.counter.count(this.refused) + Object.keys(this.refused).length;
    this.tell({ waiting });
    return waiting;
  }

  private wall(cause: unknown): Wall {
    // Where no role is known, an office that asks for a token is one that this device was paired
    // with.
    return wallOf(cause, !this.options.role || this.options.role() !== undefined);
  }

  /** What is new of one direction; the line tells the worse of the two. */
  private side(way: Way, news: Partial<Side>): void {
    const { pull, push } = this.sides;
    Object.assign(this.sides[way], news);
    const silent = push.connected && !pull.connected;
    this.tell({
      connected: pull.connected && push.connected,
      moving: pull.moving || push.moving,
      pull: pull.wall,
      push: push.wall,
      silent: silent ? (this.facts.silent ?? this.now().getTime()) : undefined,
    });
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
