// An office in memory that answers over fetch as the real one does, counts what it is asked, and
// can be made to fail.
import { createHash } from "node:crypto";

export interface Part {
  content_type?: string;
  digest?: string;
  length?: number;
  stub?: boolean;
  data?: string;
}

export interface Doc {
  _id: string;
  _rev: string;
  _deleted?: boolean;
  _revisions?: { start: number; ids: string[] };
  _attachments?: Record<string, Part>;
  [field: string]: unknown;
}

export interface Request {
  method: string;
  /** After the origin, without the query. */
  path: string;
  query: URLSearchParams;
  body: { docs?: Doc[] } & Record<string, unknown>;
}

interface Entry {
  seq: number;
  leaves: Map<string, Doc>;
  /** Every revision that was ever there or before one that was. */
  known: Set<string>;
}

export const answer = (status: number, body: unknown): Response =>
  new Response(JSON.stringify(body), { status, headers: { "Content-Type": "application/json" } });

export const origin = "https://office.invalid";

export class MemoryOffice {
  uuid = "first";
  docs = new Map<string, Entry>();
  seq = 0;
  says: Record<string, unknown> = {};
  wanted: unknown[] | undefined;
  /** How often each kind of request was made, without the long polls. */
  counts: Record<string, number> = {};
  /** Called before each answer: gives another one, or throws where none comes. */
  before: ((request: Request) => Response | undefined | Promise<Response | undefined>) | undefined;
  /** Called after each answer was made: throws where it is lost on its way. */
  after: ((request: Request) => void) | undefined;
  private waiters = new Set<() => void>();

  /** Puts this office at the origin that the app asks. */
  serve(): void {
    Object.defineProperty(globalThis, "location", { value: new URL(`${origin}/`), configurable: true });
    globalThis.fetch = (url, options) => this.answer(new URL(url as string), options ?? {});
  }

  get total(): number {
    return Object.values(this.counts).reduce((sum, n) => sum + n, 0);
  }

  put(doc: Doc): void {
    const { _id, _rev } = doc;
    const { start, ids } = doc._revisions ?? { start: parseInt(_rev, 10), ids: [_rev.split("-")[1]!] };
    const path = ids.map((hash, i) => `${start - i}-${hash}`);
    const entry: Entry = this.docs.get(_id) ?? { seq: 0, leaves: new Map(), known: new Set() };
    if (entry.known.has(_rev)) return;
    for (const rev of path) {
      entry.leaves.delete(rev);
      entry.known.add(rev);
    }
    const parts = Object.entries(doc._attachments ?? {}).map(([name, { data = "", content_type }]) => {
      const bytes = Buffer.from(data, "base64");
      const digest = `md5-${createHash("md5").update(bytes).digest("base64")}`;
      return [name, { ...(content_type && { content_type }), data, digest, length: bytes.length }] as const;
    });
    entry.leaves.set(_rev, {
      ...doc,
      _revisions: { start, ids },
      ...(parts.length > 0 && { _attachments: Object.fromEntries(parts) }),
    });
    entry.seq = ++this.seq;
    this.docs.delete(_id); // the order is that of the sequence numbers
    this.docs.set(_id, entry);
    for (const wake of this.waiters) wake();
  }

  /** Every record with its revisions, to be compared with a phone's. */
  state(): Record<string, string[]> {
    return Object.fromEntries(
      [...this.docs].map(([id, { leaves }]) => [id, [...leaves.keys()].sort()] as const).sort(byId),
    );
  }

  private async answer(url: URL, options: RequestInit): Promise<Response> {
    const { signal } = options;
    const gone = () => new DOMException("aborted", "AbortError");
    if (signal?.aborted) throw gone();
    const request: Request = {
      method: options.method ?? "GET",
      path: url.pathname,
      query: url.searchParams,
      body: options.body ? (JSON.parse(options.body as string) as Request["body"]) : {},
    };
    if (request.query.get("feed") !== "longpoll") {
      const what =
        /\/(_\w+|api\/\w+)/.exec(request.path)?.[1] ?? (request.path === "/sync/" ? "welcome" : "file");
      this.counts[what] = (this.counts[what] ?? 0) + 1;
    }
    await new Promise((go) => setImmediate(go));
    const given = (await this.before?.(request)) ?? (await this.route(request, signal));
    if (signal?.aborted) throw gone();
    this.after?.(request);
    return given;
  }

  private async route({ path, query, body }: Request, signal?: AbortSignal | null): Promise<Response> {
    if (path === "/sync/") return answer(200, { uuid: this.uuid, datumbook: { records: 1, ...this.says } });
    if (path === "/api/wanted" && this.wanted) return answer(200, { wanted: this.wanted });
    const [, , , what, ...rest] = path.split("/"); // whatever the book is called
    switch (what) {
      case "_changes": {
        if (query.get("feed") === "longpoll" && Number(query.get("since")) >= this.seq) {
          await new Promise<void>((wake) => {
            this.waiters.add(wake);
            signal?.addEventListener("abort", () => wake());
          });
        }
        const since = Number(query.get("since"));
        const rows = [...this.docs]
          .filter(([, { seq }]) => seq > since)
          .slice(0, Number(query.get("limit")))
          .map(([id, { seq, leaves }]) => ({ id, seq, changes: [...leaves.keys()].map((rev) => ({ rev })) }));
        return answer(200, { results: rows, last_seq: rows.at(-1)?.seq ?? Math.max(since, this.seq) });
      }
      case "_revs_diff": {
        const out: Record<string, { missing: string[] }> = {};
        for (const [id, revs] of Object.entries(body as Record<string, string[]>)) {
          const missing = revs.filter((rev) => !this.docs.get(id)?.known.has(rev));
          if (missing.length > 0) out[id] = { missing };
        }
        return answer(200, out);
      }
      case "_bulk_docs":
        for (const doc of body.docs!) this.put(doc);
        return answer(201, []);
      case "_bulk_get":
        return answer(200, {
          results: (body.docs as unknown as { id: string; rev: string }[]).map(({ id, rev }) => {
            const { leaves } = this.docs.get(id)!;
            const found = leaves.get(rev) ?? [...leaves.values()][0]!;
            return { id, docs: [{ ok: stubs(found, query.get("attachments") === "true") }] };
          }),
        });
    }
    const doc = this.docs.get(decodeURIComponent(what ?? ""))?.leaves.get(query.get("rev") ?? "");
    const part = doc?._attachments?.[rest.map(decodeURIComponent).join("/")];
    if (!part) return answer(404, { error: "not_found", reason: "missing" });
    return new Response(Buffer.from(part.data!, "base64"), {
      headers: { "Content-Type": part.content_type ?? "" },
    });
  }
}

const byId = (a: readonly [string, unknown], b: readonly [string, unknown]): number => (a[0] < b[0] ? -1 : 1);

function stubs(doc: Doc, whole: boolean): Doc {
  if (!doc._attachments || whole) return doc;
  const parts = Object.entries(doc._attachments).map(([name, { data: _, ...part }]) => [
    name,
    { ...part, revpos: 1, stub: true },
  ]);
  return { ...doc, _attachments: Object.fromEntries(parts) as Doc["_attachments"] };
}

/** Numbers that look like chance, the same each time. */
export function dice(seed: number): (n: number) => number {
  let at = seed;
  return (n) => {
    at = (Math.imul(at, 1_664_525) + 1_013_904_223) >>> 0;
    return Math.floor((at / 2 ** 32) * n);
  };
}
