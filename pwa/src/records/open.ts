// The book on this device: records in IndexedDB at once, replicated with the office when it can be
// reached.
import PouchDB, { type ChangeRow } from "pouchdb-core";
import idb from "pouchdb-adapter-idb";
import { NotTheOffice, watchedFetch } from "../sync/fetch";
import { bearFull } from "../storage/quota";
import { openStore, type Step } from "../storage/format";
import { deviceName } from "../storage/local";
import { byMade, text, type Doc } from "./fields";
import { keptPrefix, toKept, type Change, type Kept, type Links, type NewPlan } from "./kept";
import { askAddresses, OfficeSays, whoAmI } from "../sync/office";
import { readOffice, readPairing } from "../sync/pairing";
import type { Ask } from "./rules";
import { Repository, type Changed } from "./repository";
import type { SyncState } from "../sync/status";
import { remoteBook } from "../sync/remote";
import { Sync, type Office, type SyncOptions } from "../sync/sync";
import { NewerOffice } from "../sync/connection";

PouchDB.plugin(idb);
bearFull();

/** What a test replaces. */
export type BookOptions = Partial<Omit<SyncOptions, "db" | "device">> & {
  /** Runs the job book's rules; without it nothing can be changed. */
  ask?: Ask;
  who?: () => { by: string; unit: "in" | "mm" };
  /** Called where the browser's store has not answered for some seconds; it may still do so. */
  slow?: () => void;
  /** Steps from the first format of this device's own storage to the present one. */
  steps?: readonly Step[];
};

/** The form of the office's records that this app knows. */
const knownRecords = 1;

export class Book {
  private listeners = new Set<() => void>();
  private feed;

  constructor(
    readonly name: string,
    /** This device's id, made here at the first start. */
    readonly device: string,
    private db: PouchDB,
    private syncing: Sync,
    /** Records of all kinds. */
    readonly repo: Repository,
    private endings: (() => void)[],
  ) {
    this.feed = db.changes({
      live: true,
      since: "now",
      return_docs: false,
      include_docs: true,
      conflicts: true,
    });
    this.feed.on("change", (row: ChangeRow) => {
      syncing.noticed();
      repo.arrived(row.doc as Doc | undefined, row.id, row.deleted === true, row.seq);
      for (const tell of [...this.listeners]) {
        tell();
      }
    });
    this.feed.catch(() => undefined); // it ends when the book is closed
  }

  get sync(): SyncState {
    return this.syncing.state;
  }

  /** Keeps a plan; when the promise is fulfilled it is stored on this device. */
  async keep(plan: NewPlan, links: Links = {}): Promise<Kept> {
    const rec = await this.repo.make(
      "kept",
      {
        ...links,
        state: "planned",
        jobname: plan.job.trim() || undefined,
        worksheet: plan.worksheet,
        unit: plan.unit,
        inputs: plan.inputs,
        answer: plan.answer,
        note: plan.note || undefined,
        measured: plan.measured || undefined,
      },
      { unit: plan.unit },
    );
    return (await this.get(rec.id))!;
  }

  /** The job record of a name, as a link; undefined where there is none. */
  async linkTo(job: string): Promise<Links | undefined> {
    await this.repo.load("job");
    const there = this.repo
      .all("job")
      .find((j) => text(j, "name").toLowerCase() === job.trim().toLowerCase());
    return there && { job: there.id };
  }

  /** Changes note, job or measured depth of a kept plan, over what was shown of it. */
  change({ rec, unit }: Kept, { job, ...rest }: Change): Promise<Changed> {
    return this.repo.change(rec, { ...rest, ...(job !== undefined && { jobname: job }) }, unit);
  }

  /** Deletes one so that it can be brought back. */
  remove = ({ rec }: Kept): Promise<Changed> => this.repo.remove(rec);

  async get(id: string): Promise<Kept | undefined> {
    try {
      return toKept(await this.db.get<unknown>(id, { conflicts: true }));
    } catch (cause) {
      if ((cause as { status?: number }).status === 404) {
        return undefined;
      }
      throw cause;
    }
  }

  /** All kept plans, newest first; of one job when it is named, by its name or its record. */
  async list(job?: string): Promise<Kept[]> {
    const { rows } = await this.db.allDocs({
      include_docs: true,
      conflicts: true,
      descending: true,
      startkey: keptPrefix + "\uffff",
      endkey: keptPrefix,
    });
    return rows
      .flatMap((row) => toKept(row.doc) ?? [])
      .filter((kept) => job === undefined || kept.job === job || kept.links?.job === job)
      .sort((a, b) => (a.created < b.created ? 1 : a.created > b.created ? -1 : 0));
  }

  /** Job names with how many plans each holds, the one used last first. */
  async jobs(): Promise<{ job: string; count: number }[]> {
    await Promise.all([this.repo.load("kept"), this.repo.load("job")]);
    const counts = new Map<string, number>();
    for (const job of this.repo.all("job").sort((a, b) => byMade(b, a))) counts.set(text(job, "name"), 0);
    for (const kept of this.repo.all("kept").sort((a, b) => byMade(b, a))) {
      const job = text(kept, "jobname");
      counts.set(job, (counts.get(job) ?? 0) + 1);
    }
    return [...counts].map(([job, count]) => ({ job, count }));
  }

  /** Calls back whenever records changed, made here or arrived; returns what ends that. */
  watch(tell: () => void): () => void {
    this.listeners.add(tell);
    return () => this.listeners.delete(tell);
  }

  onSync(tell: (state: SyncState) => void): () => void {
    return this.syncing.onState(tell);
  }

  /** Tries the office now instead of at the next scheduled try. */
  syncNow(): void {
    this.syncing.again(true);
  }

  async close(): Promise<void> {
    this.endings.forEach((end) => end());
    this.repo.close();
    this.feed.cancel();
    await this.syncing.close();
    await this.db.close();
  }
}

/** What an office says of itself beside the protocol. */
interface Said {
  records: number;
  trouble: string;
  /** RFC 3339. */
  time: string;
}

/** The office at this page's own origin. */
function officeHere(name: string, heard: () => void): Office {
  const fetcher = watchedFetch({ silence: 30_000, heard, token: () => readPairing()?.token });
  const { origin } = location;
  return {
    async welcome() {
      const response = await fetcher(`${origin}/sync/`, {
        headers: { Accept: "application/json" },
        cache: "no-store",
      });
      const body = (await response.json().catch(() => {
        throw new NotTheOffice("the answer was not understood");
      })) as { uuid?: string; reason?: string; datumbook?: Partial<Said> } | null;
      if (response.status === 401 && readPairing()) {
        // Replication's errors do not say whether the owner revoked this device; the office's own
        // do.
        await whoAmI().catch((cause: unknown) => {
          if (cause instanceof OfficeSays) throw cause;
        });
      }
      if (!response.ok) {
        throw Object.assign(new Error(body?.reason ?? "the answer was not understood"), {
          status: response.status,
        });
      }
      if (!body?.uuid) {
        throw new NotTheOffice("the answer was not understood");
      }
      if ((body.datumbook?.records ?? knownRecords) > knownRecords) {
        throw new NewerOffice(`records of form ${body.datumbook?.records}`);
      }
      void noteOffice();
      const { trouble, time = "" } = body.datumbook ?? {};
      return { office: `${body.uuid}/${name}`, trouble, time: Date.parse(time) || undefined };
    },
    open: (signal) => remoteBook(origin, name, fetcher, signal),
  };
}

/**
 * Learns the office's addresses and how long its certificate is good, once a day, for when it
 * cannot be reached.
 */
async function noteOffice(): Promise<void> {
  const now = Date.now();
  if (now - (readOffice()?.heard ?? 0) > 24 * 3600_000) {
    await askAddresses(now).catch(() => undefined); // the next start asks again
  }
}

/** Opens the book, by default "shop", and starts replicating with this page's own origin. */
export async function openBook(name = "shop", options: BookOptions = {}): Promise<Book> {
  const waits = setTimeout(() => options.slow?.(), 8000);
  const store = await openStore(name, options.steps).finally(() => clearTimeout(waits));
  const { db } = store;
  const device = await deviceName(db);
  const { steps: _, slow: __, ...rest } = options;
  const sync: Sync = new Sync({
    ...(!options.office && { role: () => readPairing()?.role }),
    ...rest,
    office: options.office ?? officeHere(name, () => sync.heard()),
    db,
    device,
  });
  const again = () => {
    if (document.visibilityState !== "hidden") {
      sync.again();
    }
  };
  const endings: (() => void)[] = [];
  if (typeof document !== "undefined") {
    // A phone taken out of the pocket, or back on the network, does not wait for the scheduled try.
    addEventListener("online", again);
    document.addEventListener("visibilitychange", again);
    endings.push(() => {
      removeEventListener("online", again);
      document.removeEventListener("visibilitychange", again);
    });
  }
  if (store.copyKept()) {
    endings.push(
      sync.onState(({ kind, connected, moving, trouble }) => {
        if (kind === "office" && connected && !moving && trouble.length === 0) {
          store.synced().catch(() => undefined); // the copy stays until the next time
        }
      }),
    );
  }
  const now = options.now ?? (() => new Date());
  const repo = new Repository({
    db,
    device,
    now,
    ask: options.ask ?? (() => Promise.reject(new Error("the rules of the job book are not there"))),
    who: options.who ?? (() => ({ by: "", unit: "in" })),
  });
  const book = new Book(name, device, db, sync, repo, endings);
  await sync.start();
  return book;
}
