// Sends what the office lacks: this device's changes in hundreds, compared with what is there, in
// requests that a slow network gets through. Only what the office has answered moves the sequence
// number from which the next one starts, so that it may be broken off anywhere.
import type PouchDB from "pouchdb-core";
import type { ChangeRow } from "pouchdb-core";
import { ofTheRequest, reasonOf } from "./connection";
import type { Leaf, Refusal, Remote, Sent } from "./remote";

export interface PushOptions {
  db: PouchDB;
  /** Whether a revision is known to have come from the office; its record has been passed. */
  came: (id: string, rev: string) => boolean;
  passed: (id: string) => void;
  /** The office did not take a record, and goes on not taking it. */
  refused: (leaf: Leaf, cause: Refusal) => Promise<void>;
  /** It took these. */
  taken: (ids: readonly string[]) => Promise<void>;
  /** It has everything up to a sequence number. */
  reached: (seq: number) => Promise<void>;
  /** Something is asked of the office. */
  asking: () => void;
}

/** Changes compared at once; what one request carries at most, in bytes and in photos; read at once. */
const page = 500;
const bytes = 1_000_000;
const files = 10;
const read = 50;

/** So many records refused in a row are no fault of theirs. */
const patience = 3;

/** Revisions alone in a request the office failed at, while it took nothing else either. */
export type Suspects = Map<string, unknown>;

export class Push {
  private failed: { doc: Sent; cause: Refusal }[] = [];
  private took = 0;
  private inRow = 0;

  constructor(
    private o: PushOptions,
    private suspects: Suspects,
  ) {}

  /** Sends everything after a sequence number; false where some of it may not be sent. */
  async run(remote: Remote, since: number, may: boolean): Promise<boolean> {
    for (;;) {
      const { results } = await this.o.db.changes({
        since,
        limit: page,
        style: "all_docs",
        return_docs: true,
      });
      const last = results.at(-1);
      if (!last) return true;
      const wanted = await this.lacks(remote, results);
      if (wanted.length > 0 && !may) return false;
      await this.send(remote, wanted);
      since = last.seq;
      await this.o.reached(since);
      for (const { id } of results) this.o.passed(id);
    }
  }

  /** Offers records again that the office refused before, with all revisions they have now. */
  async again(remote: Remote, ids: readonly string[]): Promise<void> {
    const rows: Pick<ChangeRow, "id" | "changes">[] = [];
    for (const id of ids) {
      const leaves = await this.o.db.get<{ ok?: Sent }[]>(id, { open_revs: "all" }).catch(() => []);
      const changes = leaves.flatMap(({ ok }) => (ok ? [{ rev: ok._rev }] : []));
      if (changes.length > 0) rows.push({ id, changes });
    }
    for (let at = 0; at < rows.length; at += page) {
      const some = rows.slice(at, at + page);
      const wanted = await this.lacks(remote, some);
      const still = new Set(wanted.map(({ id }) => id));
      await this.o.taken(some.flatMap(({ id }) => (still.has(id) ? [] : [id])));
      await this.send(remote, wanted);
    }
  }

  /** The revisions that the office lacks; it is not asked about what came from it. */
  private async lacks(remote: Remote, rows: readonly Pick<ChangeRow, "id" | "changes">[]): Promise<Leaf[]> {
    const asked: Record<string, string[]> = {};
    for (const { id, changes } of rows) {
      const revs = changes.map(({ rev }) => rev).filter((rev) => !this.o.came(id, rev));
      if (revs.length > 0) asked[id] = revs;
    }
    if (Object.keys(asked).length === 0) return [];
    this.o.asking();
    const lacks = await remote.missing(asked);
    return Object.keys(lacks).flatMap((id) => lacks[id]!.missing.map((rev) => ({ id, rev })));
  }

  /** Sends revisions in requests of a fair size, those last that the office failed at before. */
  private async send(remote: Remote, wanted: readonly Leaf[]): Promise<void> {
    const odd = (leaf: Leaf) => this.suspects.has(key(leaf));
    const sorted = [...wanted.filter((leaf) => !odd(leaf)), ...wanted.filter(odd)];
    this.failed = [];
    this.inRow = 0;
    let batch: Sent[] = [];
    let size = 0;
    let photos = 0;
    const go = async () => {
      if (batch.length > 0) await this.deliver(remote, batch);
      [batch, size, photos] = [[], 0, 0];
    };
    for (let at = 0; at < sorted.length; at += read) {
      const some = sorted.slice(at, at + read);
      const docs = await Promise.all(some.map((leaf) => this.body(leaf)));
      for (const [i, leaf] of some.entries()) {
        let doc = docs[i];
        const parts = Object.values(doc?._attachments ?? {});
        const bulk =
          JSON.stringify(doc ?? {}).length + parts.reduce((sum, { length = 0 }) => sum + 1.4 * length, 0);
        if (size + bulk > bytes || photos + parts.length > files || odd(leaf)) await go();
        if (parts.length > 0) doc = await this.body(leaf, true);
        if (!doc) continue;
        batch.push(doc);
        size += bulk;
        photos += parts.length;
      }
    }
    await go();
    const [first] = this.failed;
    if (first && this.took === 0) throw first.cause as Error;
    // What fails alone again while others were taken is at fault itself.
    for (const { doc } of this.failed) await this.deliver(remote, [doc], true);
  }

  /** A revision with its path; undefined, and told, where this device cannot read it. */
  private async body({ id, rev }: Leaf, attachments = false): Promise<Sent | undefined> {
    try {
      return await this.o.db.get<Sent>(id, { rev, revs: true, attachments });
    } catch (cause) {
      if (!ofTheRequest(cause, true)) throw cause;
      await this.o.refused(
        { id, rev },
        { reason: `this device cannot read it (${reasonOf(cause as Refusal)})` },
      );
      return undefined;
    }
  }

  /** Sends some records; where the office does not take them together, half of them at a time. */
  private async deliver(remote: Remote, docs: readonly Sent[], sure = false): Promise<void> {
    let rows: Refusal[];
    this.o.asking();
    try {
      rows = await remote.take(docs);
    } catch (cause) {
      if (!ofTheRequest(cause)) throw cause;
      await this.half(remote, docs, cause as Refusal, sure);
      return;
    }
    const faults = rows.filter(({ error }) => error);
    if (faults.some(({ id }) => id === undefined) && docs.length > 1) {
      await this.half(remote, docs, faults[0]!);
      return;
    }
    const bad = new Map(faults.map((fault) => [fault.id ?? docs[0]!._id, fault]));
    const taken = docs.filter(({ _id }) => !bad.has(_id));
    if (taken.length > 0) {
      this.took += taken.length;
      this.inRow = 0;
      for (const doc of taken) this.suspects.delete(key({ id: doc._id, rev: doc._rev }));
      await this.o.taken(taken.map(({ _id }) => _id));
    }
    for (const { _id: id, _rev: rev } of docs) {
      const fault = bad.get(id);
      if (fault) await this.refuse({ id, rev }, fault);
    }
  }

  private async half(remote: Remote, docs: readonly Sent[], cause: Refusal, sure = false): Promise<void> {
    const [doc] = docs;
    if (docs.length > 1 || !doc) {
      await this.deliver(remote, docs.slice(0, docs.length >> 1));
      await this.deliver(remote, docs.slice(docs.length >> 1));
      return;
    }
    const leaf = { id: doc._id, rev: doc._rev };
    if (sure || (cause.status ?? 0) < 500) return this.refuse(leaf, cause);
    this.suspects.set(key(leaf), cause);
    this.failed.push({ doc, cause });
    if (++this.inRow > patience) throw cause as Error;
  }

  private async refuse(leaf: Leaf, cause: Refusal): Promise<void> {
    this.suspects.delete(key(leaf));
    await this.o.refused(leaf, cause);
  }
}

const key = ({ id, rev }: Leaf): string => JSON.stringify([id, rev]);
