// The office's book over HTTP, as far as the exchange needs it: six requests of the replication
// protocol and one of the office's own.
import { NotTheOffice } from "./fetch";

/** A record as it travels: whole, with the path of its revisions. */
export interface Sent {
  _id: string;
  _rev: string;
  _deleted?: boolean;
  _revisions?: { start: number; ids: string[] };
  _attachments?: Record<string, Part>;
  [field: string]: unknown;
}

/** A file of a record: a stub names it, else its content is in data. */
export interface Part {
  content_type?: string;
  digest?: string;
  length?: number;
  revpos?: number;
  stub?: boolean;
  data?: string | Blob;
}

export interface Leaf {
  id: string;
  rev: string;
}

export interface Page {
  results: { id: string; changes: { rev: string }[] }[];
  last_seq: number | string;
}

/** A refusal, of a whole request or of one record in it. */
export interface Refusal {
  status?: number;
  id?: string;
  rev?: string;
  error?: unknown;
  name?: string;
  reason?: string;
  message?: string;
}

/** What came for one revision that was asked for. */
export interface Got {
  id: string;
  docs: { ok?: Sent; error?: Refusal }[];
}

/** A file whose content the office has lost. */
export interface Wanted extends Leaf {
  book?: string;
  name: string;
  digest: string;
}

/** Each rejects with the status of a refusal, or as fetch does. */
export interface Remote {
  /** What changed after a sequence number; live waits until something does, or a while. */
  changes(since: Page["last_seq"], limit: number, live: boolean): Promise<Page>;
  /** Revisions, with their files inside on demand. */
  get(wanted: readonly Leaf[], files?: boolean): Promise<Got[]>;
  file(leaf: Leaf, name: string): Promise<Blob>;
  /** Which of these revisions it lacks. */
  missing(revs: Record<string, string[]>): Promise<Record<string, { missing: string[] }>>;
  /** Stores revisions as they are; gives those that it refused. */
  take(docs: readonly Sent[]): Promise<Refusal[]>;
  wanted(): Promise<Wanted[]>;
}

/**
 * The path of a file; undefined where an address cannot hold its names, as "..", which every
 * browser takes for the folder above.
 */
export function pathOf(id: string, name: string): string | undefined {
  const parts = [id, ...name.split("/")];
  if (id.startsWith("_") || parts.some((part) => /^\.{0,2}$/.test(part))) return undefined;
  try {
    return parts.map(encodeURIComponent).join("/");
  } catch {
    return undefined; // half of a letter
  }
}

type Fetch = (url: string, options: RequestInit) => Promise<Response>;

/** The book of a name at an office; its requests end with the signal. */
export function remoteBook(origin: string, name: string, fetcher: Fetch, signal: AbortSignal): Remote {
  const root = `${origin}/sync/${encodeURIComponent(name)}/`;
  const ask = async (url: string, body?: unknown): Promise<Response> => {
    const response = await fetcher(url, {
      signal,
      cache: "no-store",
      headers: {
        Accept: "application/json",
        ...(body !== undefined && { "Content-Type": "application/json" }),
      },
      ...(body !== undefined && { method: "POST", body: JSON.stringify(body) }),
    });
    if (response.ok) return response;
    // Whatever stands between may refuse too, in its own way: the status says enough.
    const said = (await response.json().catch(() => null)) as { error?: unknown; reason?: string } | null;
    const reason = said?.reason ?? "the answer was not understood";
    throw Object.assign(new Error(reason), { status: response.status, reason, error: said?.error });
  };
  const json = async <T>(url: string, body?: unknown) => (await read(await ask(url, body))) as T;
  return {
    changes: (since, limit, live) =>
      json(
        `${root}_changes?style=all_docs&limit=${limit}&since=${encodeURIComponent(since)}` +
          (live ? "&feed=longpoll&heartbeat=10000" : ""),
      ),
    get: async (docs, files) =>
      (
        await json<{ results: Got[] }>(
          `${root}_bulk_get?revs=true&latest=true${files ? "&attachments=true" : ""}`,
          { docs },
        )
      ).results,
    file: async ({ id, rev }, name) =>
      (await ask(`${root}${pathOf(id, name)}?rev=${encodeURIComponent(rev)}`)).blob(),
    missing: (revs) => json(`${root}_revs_diff`, revs),
    take: (docs) => json(`${root}_bulk_docs`, { new_edits: false, docs }),
    wanted: async () =>
      (await json<{ wanted: Wanted[] }>(`${origin}/api/wanted`)).wanted.filter(
        ({ book }) => (book ?? name) === name,
      ),
  };
}

async function read(response: Response): Promise<unknown> {
  const text = await response.text();
  try {
    return JSON.parse(text) as unknown;
  } catch {
    throw new NotTheOffice("the answer was not understood");
  }
}
