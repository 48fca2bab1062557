// Takes in what the office has, page by page: what changed, which of it is missing here, its bodies
// and files, and then how far this device is. What cannot be had is set aside in the same note that
// says how far, so that nothing is ever passed over without being listed.
import type PouchDB from "pouchdb-core";
import { isFull, unlessFull } from "../storage/quota";
import { sayFault } from "../storage/persist";
import { writeLocal } from "../storage/local";
import { Aside, type Missed } from "./aside";
import { ofTheRequest, reasonOf } from "./connection";
import {
  pathOf,
  type Got,
  type Leaf,
  type Page,
  type Part,
  type Refusal,
  type Remote,
  type Sent,
} from "./remote";

/** How far this device has taken in what an office store has. */
export interface Pulled {
  office: string;
  seq: Page["last_seq"];
  aside?: Missed[];
}

export interface PullOptions {
  db: PouchDB;
  now: () => number;
  /** About to be written here, so that it is not offered back. */
  arriving: (leaf: Leaf) => void;
  /** The list of what was set aside has changed. */
  missed: (all: Missed[]) => void;
  /** Whether records are coming in; first called once the office has answered. */
  moving: (on: boolean) => void;
}

/** Records asked for at once; what is stored at once, in files and in bytes of them. */
const page = 500;
const files = 10;
const bytes = 8_000_000;

/** What comes from one office store. */
export class Pull {
  private aside: Aside;

  constructor(
    private o: PullOptions,
    private pulled: Pulled,
  ) {
    this.aside = new Aside(pulled.aside);
  }

  get office(): string {
    return this.pulled.office;
  }

  list = (): Missed[] => this.aside.list();

  /** Whether anything that was set aside is to be tried again. */
  due = (all: boolean): boolean => (all ? this.aside.list() : this.aside.due(this.o.now())).length > 0;

  /** Runs until the office fails or the remote's signal ends it; all: tries what was set aside. */
  async run(remote: Remote, all = false): Promise<never> {
    const { pulled } = this;
    await this.again(remote, all);
    for (let live = false; ;) {
      const { results, last_seq } = await remote.changes(pulled.seq, page, live);
      const more = results.length >= page;
      this.o.moving(more || (results.length > 0 && !live));
      for (const { id, changes } of results) {
        this.aside.narrow(
          id,
          changes.map(({ rev }) => rev),
        );
      }
      await this.take(
        remote,
        results.flatMap(({ id, changes }) => changes.map(({ rev }) => ({ id, rev }))),
      );
      if (last_seq !== pulled.seq || results.length > 0) {
        pulled.seq = last_seq;
        await this.note();
      }
      this.o.moving(more);
      live = !more;
    }
  }

  /** Tries what was set aside: after its rest, or all of it. */
  private async again(remote: Remote, all: boolean): Promise<void> {
    const due = all ? this.aside.list() : this.aside.due(this.o.now());
    if (due.length === 0) return;
    for (let at = 0; at < due.length; at += page) {
      await this.take(remote, due.slice(at, at + page), true);
    }
    await this.note();
  }

  private async note(): Promise<void> {
    const aside = this.aside.list();
    await writeLocal(this.o.db, "pulled", { ...this.pulled, aside }).catch(unlessFull);
    this.o.missed(aside);
  }

  /** Stores those revisions that are not here; again: also those that were set aside. */
  private async take(remote: Remote, leaves: readonly Leaf[], again = false): Promise<void> {
    const revs: Record<string, string[]> = Object.create(null) as object & typeof revs;
    for (const { id, rev } of leaves) (revs[id] ??= []).push(rev);
    const lacks = leaves.length > 0 ? await this.o.db.revsDiff(revs) : {};
    const wanted: Leaf[] = [];
    for (const leaf of leaves) {
      if (!lacks[leaf.id]?.missing.includes(leaf.rev)) this.aside.drop(leaf);
      else if (again || !this.aside.has(leaf)) wanted.push(leaf);
    }
    if (wanted.length === 0) return;

    const began = this.o.now();
    const faults = new Map<string, Refusal>();
    const left = new Set(wanted);
    const came: Leaf[] = [];
    let batch: Sent[] = [];
    let held = 0;
    let size = 0;
    const store = async () => {
      // On a poor line a photo takes longer than all that one works by.
      await this.store(batch.filter((doc) => !doc._attachments));
      const others = batch.filter((doc) => doc._attachments);
      const whole = await Promise.all(others.map((doc) => this.fill(remote, doc)));
      await this.store(others.filter((_, i) => whole[i]));
      [batch, held, size] = [[], 0, 0];
    };
    for (const { id, docs } of await this.get(remote, wanted, faults)) {
      for (const { ok, error } of docs) {
        if (error) faults.set(id, error);
        if (!ok) continue;
        for (const leaf of left) {
          if (leaf.id === ok._id && isIn(leaf.rev, ok) && left.delete(leaf)) came.push(leaf);
        }
        // Photos of many records at once would not fit into a phone's memory.
        const parts = Object.values(ok._attachments ?? {});
        batch.push(ok);
        held += parts.length;
        size += parts.reduce((sum, { length = 0 }) => sum + length, 0);
        if (held >= files || size >= bytes) await store();
      }
    }
    await store();
    // Set aside may be one that came just now: one of its files did not.
    const old = (leaf: Leaf) => (this.aside.at(leaf) ?? -Infinity) < began;
    for (const leaf of came) {
      if (old(leaf)) this.aside.drop(leaf);
    }
    for (const leaf of left) {
      this.miss(leaf, faults.get(leaf.id) ?? { reason: "the office did not give it" });
    }
  }

  /** The bodies; where the office cannot answer for all at once, those it can. */
  private async get(remote: Remote, wanted: readonly Leaf[], faults: Map<string, Refusal>): Promise<Got[]> {
    const out: Got[] = [];
    const alone: Leaf[] = [];
    let failed = 0;
    const ask = async (some: readonly Leaf[]): Promise<void> => {
      try {
        out.push(...(await remote.get(some)));
        failed = 0;
      } catch (cause) {
        // So many in a row are no fault of theirs: the office has one.
        if (!ofTheRequest(cause) || (some.length === 1 && ++failed > 3)) throw cause;
        if (some.length === 1) {
          alone.push(...some);
          return;
        }
        await ask(some.slice(0, some.length >> 1));
        await ask(some.slice(some.length >> 1));
      }
    };
    await ask(wanted);
    // The office's own fault may have passed in the middle of this.
    for (const leaf of alone) {
      try {
        out.push(...(await remote.get([leaf])));
      } catch (cause) {
        if (!ofTheRequest(cause)) throw cause;
        faults.set(leaf.id, cause as Refusal);
      }
    }
    return out;
  }

  /** Brings the files of a record; false, and set aside, where one of them cannot be had. */
  private async fill(remote: Remote, doc: Sent): Promise<boolean> {
    if (!doc._attachments) return true;
    const leaf = { id: doc._id, rev: doc._rev };
    const here = await this.o.db
      .get<Sent>(doc._id)
      .catch((cause: Refusal) => (cause.status === 404 ? undefined : Promise.reject(cause as Error)));
    for (const [name, part] of Object.entries(doc._attachments)) {
      const mine = here?._attachments?.[name];
      for (let tries = 0; ; tries++) {
        try {
          part.data =
            mine && mine.digest === part.digest
              ? await this.o.db.getAttachment(doc._id, name)
              : await this.file(remote, leaf, name, part);
          break;
        } catch (cause) {
          if (!ofTheRequest(cause, true)) throw cause;
          if (tries === 0) continue;
          this.miss(leaf, cause as Refusal);
          return false;
        }
      }
      delete part.stub;
      delete part.length;
    }
    return true;
  }

  private async file(remote: Remote, leaf: Leaf, name: string, part: Part): Promise<Blob | string> {
    const short = Object.assign(new Error("a file of it did not come whole"), { status: 500 });
    if (pathOf(leaf.id, name) === undefined) {
      const got = (await remote.get([leaf], true)).flatMap(({ docs }) => docs);
      const found = got.find(({ ok }) => ok?._rev === leaf.rev)?.ok?._attachments?.[name]?.data;
      if (found === undefined) throw Object.assign(short, got.find(({ error }) => error)?.error);
      return found;
    }
    const file = await remote.file(leaf, name);
    if (part.length !== undefined && file.size !== part.length) throw short;
    return file;
  }

  /** Stores records here; one that this device cannot store does not keep the others out. */
  private async store(docs: Sent[]): Promise<void> {
    if (docs.length === 0) return;
    for (const { _id: id, _rev: rev } of docs) this.o.arriving({ id, rev });
    let fault: unknown;
    try {
      [fault] = await this.o.db.bulkDocs(docs, { new_edits: false });
    } catch (cause) {
      fault = cause;
    }
    const [doc] = docs;
    if (fault === undefined) {
      for (const { _id: id, _rev: rev } of docs) this.aside.drop({ id, rev });
    } else if (isFull(fault) || sayFault(fault)) {
      throw fault as Error;
    } else if (docs.length > 1) {
      for (const one of docs) await this.store([one]);
    } else if (doc) {
      this.miss({ id: doc._id, rev: doc._rev }, fault as Refusal, "store");
    }
  }

  private miss(leaf: Leaf, cause: Refusal, kind: Missed["kind"] = "damaged"): void {
    this.aside.add({
      ...leaf,
      kind: cause.error === "too_large" ? "large" : kind,
      reason: reasonOf(cause),
      at: this.o.now(),
    });
  }
}

/** Whether a revision is that of a record or one before it. */
function isIn(rev: string, { _rev, _revisions }: Sent): boolean {
  if (rev === _rev) return true;
  const at = _revisions ? _revisions.start - parseInt(rev, 10) : -1;
  return _revisions?.ids[at] === rev.slice(rev.indexOf("-") + 1);
}
