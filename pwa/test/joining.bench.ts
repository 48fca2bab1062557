// One phone, new to a book that an office at OFFICE holds: prints when all of it is here, when the
// line says so, and when its first edit is at the office, in seconds from the start.
import "fake-indexeddb/auto";
import "./filereader";
import { openBook } from "../src/records/open";
import { watchedFetch } from "../src/sync/fetch";
import { remoteBook } from "../src/sync/remote";
import { storeOf } from "./edits";
import { startRules } from "./rules";

const origin = process.env["OFFICE"] ?? "http://127.0.0.1:8470";
const name = process.env["BOOK"] ?? "shop";
const many = Number(process.env["RECORDS"] ?? "10000");
const fetcher = watchedFetch({ silence: 30_000 });
const ask = await startRules();

const from = performance.now();
const since = () => (performance.now() - from) / 1_000;
const book = await openBook(name, {
  ask,
  office: {
    async welcome() {
      const { uuid } = (await (await fetcher(`${origin}/sync/`)).json()) as { uuid: string };
      return { office: `${uuid}/${name}` };
    },
    open: (signal) => remoteBook(origin, name, fetcher, signal),
  },
});

async function until(holds: () => boolean | Promise<boolean>): Promise<number> {
  while (!(await holds())) await new Promise((done) => setTimeout(done, 5));
  return since();
}

const here = await until(async () => (await storeOf(book).info()).doc_count >= many);
const quiet = await until(() => book.sync.kind === "office" && book.sync.connected && !book.sync.moving);
const mark = since();
await book.repo.make("note", { text: "the first edit" });
await until(() => book.sync.waiting > 0);
const edit = (await until(() => book.sync.waiting === 0 && !book.sync.moving)) - mark;
console.log(JSON.stringify({ here, quiet, edit }));
process.exit(0);
