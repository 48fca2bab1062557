// Many phones in one program, each with the app's own exchange, against an office at an address that
// is cut and killed from outside. What the benchmark in cmd/datumbook wants is in the environment:
// OFFICE (its address), BOOK, PHONES, SECONDS, SEED. Prints "quiet" when nothing more is written and
// cut, and then one line of figures, once every phone and the office hold the same.
import "fake-indexeddb/auto";
import "./filereader";
import { openBook, type Book } from "../src/records/open";
import { watchedFetch } from "../src/sync/fetch";
import { remoteBook, type Page } from "../src/sync/remote";
import type { Office } from "../src/sync/sync";
import { edit, erase, storeOf } from "./edits";
import { dice } from "./memory";
import { startRules } from "./rules";

const env = (name: string, or: string): string => process.env[name] ?? or;
const origin = env("OFFICE", "http://127.0.0.1:8470");
const book = env("BOOK", "shop");
const phones = Number(env("PHONES", "20"));
const seconds = Number(env("SECONDS", "300"));
const chance = dice(Number(env("SEED", "20260309")));

const figures = { records: 0, edits: 0, deletes: 0, photos: 0, restarts: 0, requests: 0, cut: 0, failed: 0 };
let calm = false;

/** One request in twenty is cut, before the office has it or after it has answered. */
async function cutting(url: string | URL | globalThis.Request, options?: RequestInit): Promise<Response> {
  figures.requests++;
  const fate = calm ? 99 : chance(40);
  if (fate === 0) {
    figures.cut++;
    throw new TypeError("Failed to fetch");
  }
  let response: Response;
  try {
    response = await fetch(url, options);
  } catch (cause) {
    if (!options?.signal?.aborted) figures.failed++;
    throw cause;
  }
  if (fate === 1) {
    figures.cut++;
    await response.body?.cancel();
    throw new TypeError("Failed to fetch");
  }
  return response;
}

const fetcher = watchedFetch({ silence: 30_000 }, cutting);

const far: Office = {
  async welcome() {
    const response = await fetcher(`${origin}/sync/`);
    if (!response.ok) throw Object.assign(new Error("refused"), { status: response.status });
    const { uuid } = (await response.json()) as { uuid: string };
    return { office: `${uuid}/${book}` };
  },
  open: (signal) => remoteBook(origin, book, fetcher, signal),
};

const ask = await startRules();
const open = (name: string) => openBook(name, { office: far, ask, firstWait: 200, longestWait: 2_000 });
const names = Array.from({ length: phones }, (_, i) => `phone${i}`);
const books: Book[] = [];
for (const name of names) books.push(await open(name));

const pause = (ms: number) => new Promise((done) => setTimeout(done, ms));
const shared: string[] = [];

async function work(at: number): Promise<void> {
  const end = Date.now() + seconds * 1_000;
  while (Date.now() < end) {
    const here = books[at]!;
    const some = shared[chance(shared.length)];
    const kind = chance(20);
    if (kind === 0) {
      const image = new Blob([Uint8Array.from({ length: 1 + chance(60_000) }, () => chance(256))], {
        type: "image/jpeg",
      });
      const { id } = await here.repo.make("photo", { name: `p${at}`, image: "image" }, { files: { image } });
      figures.photos++;
      shared.push(id);
    } else if (kind < 8 || !some) {
      shared.push((await here.repo.make("note", { text: `note of ${at}` })).id);
      figures.records++;
    } else if (kind === 8) {
      if (await erase(here, some)) figures.deletes++;
    } else {
      const field = some.startsWith("photo") ? "name" : "text";
      if (await edit(here, some, field, `changed by ${at}, ${figures.edits}`)) figures.edits++;
    }
    if (chance(120) === 0) {
      // Closed at whatever point it is, and opened again.
      await here.close();
      books[at] = await open(names[at]!);
      figures.restarts++;
    }
    await pause(chance(2 * 1_000));
  }
}

await Promise.all(books.map((_, at) => work(at)));
calm = true;
console.log("quiet");
const quiet = Date.now();

const state = ({ results }: Pick<Page, "results">): Map<string, string> =>
  new Map(
    results.map(
      ({ id, changes }) =>
        [
          id,
          changes
            .map(({ rev }) => rev)
            .sort()
            .join(),
        ] as const,
    ),
  );

/** The phones that do not hold what the office does, or do not know it, each with one difference. */
async function differing(): Promise<string[]> {
  const at = remoteBook(origin, book, fetch, AbortSignal.timeout(30_000));
  const want = state(await at.changes(0, 1_000_000, false));
  const out: string[] = [];
  for (const one of books) {
    const { name, sync } = one;
    const db = storeOf(one);
    const have = state(await db.changes({ since: 0, style: "all_docs", return_docs: true }));
    const id = [...want.keys(), ...have.keys()].find((id) => want.get(id) !== have.get(id));
    if (id !== undefined) out.push(`${name} has ${id} ${have.get(id)}, the office ${want.get(id)}`);
    else if (sync.kind !== "office" || sync.moving || sync.waiting > 0 || sync.trouble.length > 0) {
      out.push(`${name} says ${JSON.stringify(sync)}`);
    }
  }
  return out;
}

for (;;) {
  const left = await differing().catch((cause: unknown) => [String(cause)]);
  if (left.length === 0) break;
  if (Date.now() - quiet > 120_000) {
    console.log(JSON.stringify({ ...figures, differing: left }));
    process.exit(1);
  }
  await pause(100);
}
const equal = (Date.now() - quiet) / 1_000;
let clashes = 0;
for (const id of shared) {
  const { repo } = books[0]!;
  if (await repo.doc(id)) clashes += (await repo.clashes(id)).length;
}
console.log(JSON.stringify({ ...figures, clashes, equal }));
process.exit(0);
