// The job book on this device: records of all kinds, read into memory kind by kind, changed through
// the rules.
import type PouchDB from "pouchdb-core";
import { chance } from "../storage/chance";
import { noteKept } from "../storage/persist";
import { readAside, writeAside } from "./snapshot";
import { below, metIn, ownersOf, readDoc, underlings, type Doc, type Rec } from "./fields";
import type { RecordKind } from "../engine/contract.gen";
import {
  call,
  clashesOf,
  editDoc,
  historyOf,
  kinds,
  makeDoc,
  mergeDocs,
  type Ask,
  type Author,
  type Clash,
  type Past,
  type Told,
} from "./rules";

export interface RepositoryOptions {
  db: PouchDB;
  device: string;
  ask: Ask;
  now: () => Date;
  /** Who works on this phone, and what a bare number means just now. */
  who: () => { by: string; unit: "in" | "mm" };
  /** Milliseconds until revisions that could not be merged are tried again. */
  again?: number;
}

/** A record as a screen shows it, or showed it when its form was filled: what a change of it covers. */
export type Shown = Pick<Rec, "id" | "heads" | "clashes">;

/** A record after a change of it. */
export interface Changed extends Rec {
  /** Fields in which an entry that the screen had not shown came meanwhile: both are kept. */
  met: readonly string[];
}

/** When something came to this device, and twenty hex digits at random. */
export interface Born {
  ms: number;
  chance: string;
}

/** A file to be kept with a record. */
export type Files = Record<string, Blob>;

const page = 400;

/** From this many single reads on, a kind is saved as one snapshot. */
const worthAside = 300;

const status = (cause: unknown): number | undefined => (cause as { status?: number }).status;

/** A record was written by a newer version: it is shown, and stays as it is. */
export class Newer extends Error {
  override name = "Newer";
}

export class Repository {
  private byKind = new Map<string, Map<string, Rec>>();
  private loads = new Map<string, Promise<void>>();
  private loaded = new Set<string>();
  private listeners = new Set<() => void>();
  private arrivals = new Set<(doc: Doc) => void>();
  private turns = new Map<string, Promise<unknown>>();
  private described: Promise<RecordKind[]> | undefined;
  private telling = false;
  /**
   * The last of the store's sequence numbers that the feed brought; undefined while it brought
   * none.
   */
  private seen: number | undefined;
  /** Records that need a look: something in them cannot be read. */
  private odd = new Map<string, Rec>();
  /** Records in which a choice is to be made: two devices wrote different things. */
  private split = new Map<string, Rec>();
  /** Records whose revisions could not be merged, with the reason. */
  private apart = new Map<string, string>();
  private retry: ReturnType<typeof setTimeout> | undefined;

  constructor(private o: RepositoryOptions) {}

  /** Reads a kind into memory; fulfilled when all of it is there. */
  load(kind: string): Promise<void> {
    let going = this.loads.get(kind);
    if (!going) {
      going = this.read(kind);
      this.loads.set(kind, going);
      going.catch(() => this.loads.delete(kind)); // the next call reads it again
    }
    return going;
  }

  ready(...wanted: string[]): boolean {
    return wanted.every((k) => this.loaded.has(k));
  }

  /** What is in memory of a kind: without what is deleted, unless asked. */
  all(kind: string, deleted = false): Rec[] {
    return [...(this.byKind.get(kind)?.values() ?? [])].filter((r) => deleted || !r.gone);
  }

  get(id: string): Rec | undefined {
    return this.byKind.get(kindOf(id))?.get(id);
  }

  /** Records met so far that need a look, of whatever kind. */
  strange(): Rec[] {
    const apart = [...this.apart.keys()].flatMap((id) => (this.odd.has(id) ? [] : (this.get(id) ?? [])));
    return [...this.odd.values(), ...apart].filter((r) => !r.gone);
  }

  /** Records met so far in which a choice is to be made, of whatever kind. */
  unsettled = (): Rec[] => [...this.split.values()];

  /**
   * Records met so far that someone added below one that was deleted elsewhere, who did not know of
   * them.
   */
  stranded(): Rec[] {
    const over = new Map(this.held((r) => r.gone && !!r.below).map((r) => [r.id, new Set(r.below)]));
    return over.size === 0
      ? []
      : this.living().filter((r) => ownersOf(r).some((id) => over.get(id)?.has(r.id) === false));
  }

  private living = (): Rec[] => this.held((r) => !r.gone);
  private held = (want: (rec: Rec) => boolean): Rec[] =>
    [...this.byKind.values()].flatMap((kind) => [...kind.values()].filter(want));

  /** Why the revisions of a record stay apart, in a sentence; "" where they do not. */
  whyApart = (id: string): string => this.apart.get(id) ?? "";

  /** The stored document itself, with its history. */
  async doc(id: string): Promise<Doc | undefined> {
    try {
      return await this.o.db.get<Doc>(id);
    } catch (cause) {
      if (status(cause) === 404) return undefined;
      throw cause;
    }
  }

  /** All kinds with their fields, as forms need them. */
  kinds(): Promise<RecordKind[]> {
    this.described ??= kinds(this.o.ask).catch((cause: unknown) => {
      this.described = undefined;
      throw cause;
    });
    return this.described;
  }

  watch(tell: () => void): () => void {
    this.listeners.add(tell);
    return () => void this.listeners.delete(tell);
  }

  /** Calls back with each document that was written or arrived. */
  onDoc(tell: (doc: Doc) => void): () => void {
    this.arrivals.add(tell);
    return () => void this.arrivals.delete(tell);
  }

  /**
   * Makes a record; fulfilled when it is stored on this device. What its name is made from may be
   * given: made again, it is refused as being there.
   */
  async make(
    kind: string,
    set: Record<string, unknown>,
    more: { files?: Files; unit?: "in" | "mm"; born?: Born } = {},
  ): Promise<Rec> {
    const author = this.author(more.unit);
    const { ms, chance: by } = more.born ?? { ms: this.o.now().getTime(), chance: chance(20) };
    const doc = await makeDoc(this.o.ask, {
      type: kind,
      ms,
      chance: by,
      set: clean(set),
      ...author,
    });
    const out: Doc = { ...doc, by: this.o.device, changed: author.at };
    if (more.files) {
      out._attachments = Object.fromEntries(
        Object.entries(more.files).map(([name, data]) => [name, { content_type: data.type, data }]),
      );
    }
    const kept = await this.keep(out);
    noteKept();
    return this.took(kept)!;
  }

  /** Writes a revision; what it gives is what is stored. */
  private async keep(doc: Doc): Promise<Doc> {
    const out = whole(doc);
    const { rev } = await this.o.db.put(out);
    return { ...out, _rev: rev };
  }

  /**
   * Changes fields of a record; null clears one. It covers the edits that were shown, so it settles
   * a clash that was shown, and stands beside an entry that came since.
   */
  change(shown: Shown, set: Record<string, unknown>, unit?: "in" | "mm"): Promise<Changed> {
    const { id, heads: seen } = shown;
    return this.inTurn(id, async () => {
      for (let tries = 0; ; tries++) {
        const doc = await this.o.db.get<Doc>(id);
        const author = this.author(unit);
        const next: Doc = {
          ...(await editDoc(this.o.ask, { doc, set: clean(set), seen, ...author })),
          _rev: doc._rev!,
          by: this.o.device,
          changed: author.at,
        };
        const told = (rec: Rec): Changed => ({ ...rec, met: metIn(shown, set, rec) });
        if (doc.f && JSON.stringify(doc.f) === JSON.stringify(next.f)) return told(readDoc(doc)!);
        try {
          return told(this.took(await this.keep(next))!);
        } catch (cause) {
          if (status(cause) !== 409 || tries >= 5) throw cause;
        }
      }
    });
  }

  /**
   * Settles a clash by one of the values that were shown. The choice covers exactly those, a deletion
   * the whole record.
   */
  choose = (rec: Rec, c: Clash, side: Told): Promise<Changed> => {
    const gone = c.field === "gone";
    const heads = { ...(gone && rec.heads), [c.field]: c.seen };
    const value = gone && side.v !== true ? null : side.v;
    const unit = side.unit === "in" || side.unit === "mm" ? side.unit : undefined;
    return this.change({ id: rec.id, heads, clashes: [c.field] }, { [c.field]: value }, unit);
  };

  /** Takes a choice back: the others are chosen as well, so that all stand against each other again. */
  unchoose = async (rec: Rec, c: Clash, side: Told): Promise<void> => {
    for (const other of c.values) if (other.id !== side.id) await this.choose(rec, c, other);
  };

  /** Deletes so that it can be brought back; it hides what was shown of the record. */
  async remove(shown: Shown): Promise<Changed> {
    await Promise.all(underlings.map((kind) => this.load(kind)));
    const under = this.living().filter((r) => ownersOf(r).includes(shown.id));
    const heads = { ...shown.heads, [below]: under.map((r) => r.id) };
    return this.change({ ...shown, heads }, { gone: true });
  }

  restore = (shown: Shown): Promise<Changed> => this.change(shown, { gone: null });

  /**
   * Purges a record from the store; its tombstone replicates to the other devices. False, and
   * nothing is done, where it is no longer as its caller knew it.
   */
  async erase(id: string, known: (doc: Doc) => boolean): Promise<boolean> {
    const doc = await this.o.db.get<Doc>(id);
    if (!known(doc)) return false;
    const type = typeof doc.type === "string" ? doc.type : kindOf(id);
    const mark = { type, by: this.o.device, changed: this.o.now().toISOString() };
    try {
      await this.o.db.put({ _id: id, _rev: doc._rev!, _deleted: true, ...mark });
    } catch (cause) {
      if (status(cause) === 409) return false; // changed in this moment
      throw cause;
    }
    await this.uncovered(id);
    return true;
  }

  /** After a revision was deleted: another one of the record may now be the one that counts. */
  private async uncovered(id: string): Promise<void> {
    const doc = await this.doc(id);
    if (doc) this.took(doc);
    else this.forget(id);
  }

  /** Ends what is still to come. */
  close(): void {
    clearTimeout(this.retry);
  }

  clashes = async (id: string): Promise<Clash[]> => clashesOf(this.o.ask, await this.o.db.get<Doc>(id));
  history = async (id: string): Promise<Past[]> => historyOf(this.o.ask, await this.o.db.get<Doc>(id));

  /** A file kept with a record; undefined when it has not reached this device. */
  async file(id: string, name: string): Promise<Blob | undefined> {
    try {
      return await this.o.db.getAttachment(id, name);
    } catch (cause) {
      if (status(cause) === 404) return undefined;
      throw cause;
    }
  }

  /** Asks another operation of the rules. */
  ask = <T>(op: string, given: unknown): Promise<T> => call<T>(this.o.ask, op, given);

  /** Asks an operation that writes in this device's name, and stores the documents it gives. */
  async write(op: string, given: Record<string, unknown>): Promise<Rec[]> {
    const author = this.author();
    const { docs } = await this.ask<{ docs: Doc[] }>(op, {
      ms: this.o.now().getTime(),
      chance: chance(20),
      ...author,
      ...given,
    });
    return this.put(docs);
  }

  /**
   * Stores documents that the rules gave, over the revisions they name, as written by this device.
   */
  async put(docs: readonly Doc[]): Promise<Rec[]> {
    const mark = { by: this.o.device, changed: this.o.now().toISOString() };
    const out: Rec[] = [];
    for (const doc of docs) {
      const rec = this.took(await this.keep({ ...doc, ...mark }));
      if (rec) out.push(rec);
    }
    return out;
  }

  /** Stored documents with their files inside. */
  whole = async (ids: readonly string[]): Promise<Doc[]> => {
    const all = ids.map((id) =>
      this.o.db.get<Doc>(id, { attachments: true }).catch((cause: unknown) => {
        if (status(cause) === 404) return undefined;
        throw cause;
      }),
    );
    return (await Promise.all(all)).filter((d) => d !== undefined);
  };

  /** The stored documents of some records. */
  docs = async (ids: readonly string[]): Promise<Doc[]> =>
    (await Promise.all(ids.map((id) => this.doc(id)))).filter((d): d is Doc => d !== undefined);

  /** Every document, in slices, for building an index. */
  async walk(take: (docs: Doc[], done: number) => void | Promise<void>, size = 200): Promise<void> {
    let start = "";
    for (let done = 0; ;) {
      const { rows } = await this.o.db.allDocs({ include_docs: true, startkey: start, limit: size });
      const docs = rows.flatMap((r) => {
        const doc = r.doc as unknown as Doc | undefined;
        const rec = readDoc(doc);
        if (rec && !this.loaded.has(kindOf(rec.id))) this.note(rec);
        return rec ? [doc!] : [];
      });
      done += docs.length;
      if (docs.length > 0) await take(docs, done);
      if (rows.length < size) return;
      start = `${rows.at(-1)!.id}\u0000`;
    }
  }

  /** Takes in a change from the feed, made here or elsewhere. */
  arrived(doc: Doc | undefined, id: string, deleted: boolean, seq?: number): void {
    if (seq !== undefined) this.seen = seq;
    if (deleted) return this.forget(id);
    if (!doc) return;
    if (doc._conflicts && doc._conflicts.length > 0) void this.resolve(id);
    else this.apart.delete(id);
    this.took(doc);
  }

  /**
   * Merges the conflicting revisions of a record. The winner takes in every edit of the others,
   * which are then deleted; where all say the same already nothing new is written, so that two
   * devices doing this at once converge. Revisions that were deleted take no part. What cannot be
   * merged keeps its revisions: the record says so, and it is tried again later.
   */
  resolve(id: string): Promise<void> {
    const tryIt = (tries: number): Promise<void> =>
      this.merge(id).catch((cause: unknown) => {
        if (status(cause) !== 409 || tries === 0) throw cause;
        return tryIt(tries - 1); // written in this moment by another tab
      });
    return this.inTurn(id, () => tryIt(5)).then(
      () => {
        if (this.apart.delete(id)) this.tell();
      },
      (cause: unknown) => {
        if (status(cause) === 404) return; // deleted meanwhile
        this.apart.set(id, cause instanceof Error ? cause.message : String(cause));
        this.tell();
        this.retry ??= setTimeout(() => {
          this.retry = undefined;
          for (const each of [...this.apart.keys()]) void this.resolve(each);
        }, this.o.again ?? 60_000);
      },
    );
  }

  private async merge(id: string): Promise<void> {
    const top = await this.o.db.get<Doc>(id, { conflicts: true });
    const others = top._conflicts ?? [];
    if (others.length === 0) return;
    const docs = [top, ...(await Promise.all(others.map((rev) => this.o.db.get<Doc>(id, { rev }))))].map(
      plain,
    );
    const { doc, same } = await mergeDocs(this.o.ask, docs);
    // In nobody's name and at no time of its own: every device that merges the same revisions
    // writes the same one, or many at once would go on merging each other's.
    const mark = ({ by, changed }: Doc) => ({ by, changed });
    if (!same.includes(0)) {
      const files = await this.gather(doc, docs);
      const last = docs.reduce((a, b) => ((b.changed ?? "") > (a.changed ?? "") ? b : a));
      this.took(await this.keep({ ...doc, ...files, _rev: top._rev!, ...mark(last) }));
    }
    for (const [i, rev] of others.entries()) {
      await this.o.db
        .put({ _id: id, _rev: rev, _deleted: true, type: top.type, ...mark(docs[i + 1]!) })
        .catch((cause: unknown) => {
          if (status(cause) !== 409) throw cause; // deleted by the other device already
        });
    }
  }

  /**
   * Files that only another revision has are read in whole; those of the winner stay where they
   * are.
   */
  private async gather(doc: Doc, docs: Doc[]): Promise<Pick<Doc, "_attachments">> {
    const wanted = doc._attachments ?? {};
    const mine = docs[0]?._attachments ?? {};
    const out = { ...wanted };
    for (const name of Object.keys(wanted)) {
      if (mine[name]) {
        out[name] = mine[name];
        continue;
      }
      const from = docs.find((d) => d._attachments?.[name]);
      const whole = await this.o.db.get<Doc>(doc._id, { rev: from!._rev, attachments: true });
      out[name] = whole._attachments![name]!;
    }
    return Object.keys(out).length > 0 ? { _attachments: out } : {};
  }

  /**
   * From the snapshot of the last start and what changed since, else from the records themselves.
   */
  private async read(kind: string): Promise<void> {
    const aside = await readAside(this.o.db, kind);
    let fresh = 0;
    if (aside) {
      for (const rec of aside.recs) this.hold(rec);
      fresh = await this.catchUp(kind, aside.seq);
    } else {
      fresh = await this.readAll(kind);
    }
    this.loaded.add(kind);
    this.tell();
    if (fresh > worthAside) this.setAside(kind);
  }

  private async readAll(kind: string): Promise<number> {
    const end = `${kind}:\uffff`;
    let start = `${kind}:`;
    for (let count = 0; ;) {
      const { rows } = await this.o.db.allDocs({
        include_docs: true,
        conflicts: true,
        startkey: start,
        endkey: end,
        limit: page,
      });
      for (const { doc } of rows) this.met(doc as unknown as Doc | undefined);
      count += rows.length;
      if (rows.length < page) return count;
      start = `${rows.at(-1)!.id}\u0000`;
      this.tell();
      await new Promise((go) => setTimeout(go)); // let the screen draw first
    }
  }

  private async catchUp(kind: string, seq: number): Promise<number> {
    const { results } = await this.o.db.changes({
      since: seq,
      include_docs: true,
      conflicts: true,
      return_docs: true,
    });
    let count = 0;
    for (const row of results) {
      if (kindOf(row.id) !== kind) continue;
      count++;
      if (row.deleted) this.drop(row.id);
      else this.met(row.doc as unknown as Doc | undefined);
    }
    return count;
  }

  private met(doc: Doc | undefined): void {
    if (!doc) return;
    if (doc._conflicts && doc._conflicts.length > 0) void this.resolve(doc._id);
    this.took(doc, false);
  }

  /** Saves a snapshot of a long kind, so that the next start need not read it record by record. */
  private setAside(kind: string): void {
    setTimeout(() => {
      void this.o.db
        .info()
        .then(async ({ update_seq }) => {
          // What was written up to here is in memory, or comes by the feed and is met again at the
          // next start.
          const seq = Math.min(update_seq, this.seen ?? update_seq);
          await writeAside(this.o.db, kind, { seq, recs: this.all(kind, true) });
        })
        .catch(() => undefined); // no room for it: the next start reads record by record
    }, 4000);
  }

  private took(doc: Doc, loud = true): Rec | undefined {
    const rec = readDoc(doc);
    if (!rec) return undefined;
    this.hold(rec);
    if (loud) {
      for (const tell of [...this.arrivals]) tell(doc);
      this.tell();
    }
    return rec;
  }

  /** Remembers whether a record needs a look, or a choice. */
  private note(rec: Rec): void {
    if (rec.odd) this.odd.set(rec.id, rec);
    else this.odd.delete(rec.id);
    if (rec.clashes.length > 0 && !rec.gone) this.split.set(rec.id, rec);
    else this.split.delete(rec.id);
  }

  private hold(rec: Rec): void {
    this.note(rec);
    const kind = kindOf(rec.id);
    let kept = this.byKind.get(kind);
    if (!kept) this.byKind.set(kind, (kept = new Map<string, Rec>()));
    kept.set(rec.id, rec);
  }

  private drop(id: string): boolean {
    this.apart.delete(id);
    const odd = [this.odd, this.split].filter((some) => some.delete(id)).length > 0;
    return this.byKind.get(kindOf(id))?.delete(id) || odd;
  }

  private forget(id: string): void {
    if (this.drop(id)) this.tell();
    for (const tell of [...this.arrivals]) tell({ _id: id, _deleted: true, type: kindOf(id) });
  }

  /** Notifies the screens, once for all changes of one go. */
  private tell(): void {
    if (this.telling) return;
    this.telling = true;
    queueMicrotask(() => {
      this.telling = false;
      for (const tell of [...this.listeners]) tell();
    });
  }

  private author(unit?: "in" | "mm"): Author {
    const who = this.o.who();
    return {
      device: this.o.device,
      by: who.by || this.o.device,
      at: this.o.now().toISOString(),
      unit: unit ?? who.unit,
    };
  }

  /** Queues the changes to one record. */
  private inTurn<T>(id: string, work: () => Promise<T>): Promise<T> {
    const before = this.turns.get(id) ?? Promise.resolve();
    const mine = before.then(work, work);
    const settled = mine.catch(() => undefined);
    this.turns.set(id, settled);
    void settled.then(() => this.turns.get(id) === settled && this.turns.delete(id));
    return mine;
  }
}

export const kindOf = (id: string): string => id.slice(0, Math.max(0, id.indexOf(":")));

/** Without the members that belong to the store alone. */
function plain(doc: Doc): Doc {
  const { _conflicts, ...rest } = doc;
  void _conflicts;
  return rest;
}

/**
 * A value with every text in it whole: half a letter (a surrogate pair that an input cut apart) becomes
 * the replacement character. The office and other replicas refuse a record that has one.
 */
export function whole<T>(v: T): T;
export function whole(v: unknown): unknown {
  if (typeof v === "string") {
    return v.replace(/[\ud800-\udbff][\udc00-\udfff]|[\ud800-\udfff]/g, (m) => (m[1] ? m : "\ufffd"));
  }
  if (Array.isArray(v)) return v.map((x) => whole(x as unknown));
  const plain = v && Object.getPrototypeOf(v) === Object.prototype; // and not a file
  return plain ? Object.fromEntries(Object.entries(v).map(([key, x]) => [key, whole(x as unknown)])) : v;
}

/** Undefined means: not asked. */
const clean = (set: Record<string, unknown>): Record<string, unknown> =>
  Object.fromEntries(Object.entries(set).filter(([, v]) => v !== undefined));
