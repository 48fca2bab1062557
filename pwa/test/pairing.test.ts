// Pairing, the office's answers, connection errors in words, and sharing or downloading a file.
import assert from "node:assert/strict";
import { afterEach, test } from "node:test";
import { askAddresses, askOffice, OfficeSays, openHere, OutOfReach, pairHere } from "../src/sync/office";
import { NotTheOffice } from "../src/sync/fetch";
import { handOver, type Hands } from "../src/records/handover";
import {
  codeDigits,
  forgetPairing,
  readOffice,
  readPairing,
  writePairing,
  type Pairing,
} from "../src/sync/pairing";
import { sayFault } from "../src/storage/persist";
import { NewerOffice, wallOf } from "../src/sync/connection";

/** A browser's store for texts; full refuses to take more. */
class Texts {
  full = false;
  private kept = new Map<string, string>();
  getItem = (key: string) => this.kept.get(key) ?? null;
  removeItem = (key: string) => void this.kept.delete(key);
  setItem(key: string, text: string) {
    if (this.full) throw new DOMException("full", "QuotaExceededError");
    this.kept.set(key, text);
  }
}

function withTexts(texts: unknown): void {
  Object.defineProperty(globalThis, "localStorage", { value: texts, configurable: true });
}

afterEach(() => {
  forgetPairing();
  withTexts(undefined);
});

const origin = "https://office.invalid";
const pairing: Pairing = { token: "dtb_x", device: "d1", name: "Phone", role: "hand" };

interface Asked {
  url: string;
  method: string | undefined;
  headers: Headers;
  body: unknown;
}

/** An office that answers one thing and notes what it was asked. */
function answering(status: number, body: unknown, headers: Record<string, string> = {}) {
  const asked: Asked[] = [];
  const fetcher = ((url: string, o: RequestInit) => {
    const { method, body: sent } = o;
    asked.push({ url, method, headers: new Headers(o.headers), body: sent && JSON.parse(sent as string) });
    const answer = status === 204 ? null : JSON.stringify(body);
    return Promise.resolve(
      new Response(answer, { status, headers: { "Content-Type": "application/json", ...headers } }),
    );
  }) as typeof fetch;
  return { asked, options: { fetcher, origin } };
}

test("a code is read however it is typed, and nothing else is taken for one", () => {
  for (const typed of ["48219037", "4821-9037", " 4821 9037 ", "4821\u20139037", "4 8 2 1 9 0 3 7"]) {
    assert.equal(codeDigits(typed), "48219037", typed);
  }
  for (const typed of ["", "4821903", "482190371", "4821-903x", "pair=48219037"]) {
    assert.equal(codeDigits(typed), "", typed);
  }
});

test("pairing trades the code for a token without showing an old one, and keeps it", async () => {
  withTexts(new Texts());
  writePairing({ ...pairing, token: "dtb_old" });
  const device = { id: "d7", name: "Pit phone", role: "hand", paired: "2030-01-01T00:00:00Z" };
  const office = answering(201, { token: "dtb_new", device });
  const got = await pairHere("48219037", "Pit phone", office.options);
  assert.equal(got.kept, true);
  const [ask] = office.asked;
  assert.equal(ask?.url, `${origin}/api/pair`);
  assert.deepEqual(ask?.body, { code: "48219037", name: "Pit phone" });
  assert.equal(ask?.headers.get("Authorization"), null);
  assert.deepEqual(readPairing(), { token: "dtb_new", device: "d7", name: "Pit phone", role: "hand" });
  await askOffice("GET", "/api/me", undefined, office.options);
  assert.equal(office.asked[1]?.headers.get("Authorization"), "Bearer dtb_new");
});

test("the office machine's link is traded in the same way", async () => {
  withTexts(new Texts());
  const device = { id: "d8", name: "this machine", role: "owner", paired: "2030-01-01T00:00:00Z" };
  const office = answering(201, { token: "dtb_own", device });
  const { kept } = await openHere("k".repeat(43), office.options);
  assert.equal(kept, true);
  assert.equal(office.asked[0]?.url, `${origin}/api/open`);
  assert.deepEqual(office.asked[0]?.body, { key: "k".repeat(43) });
  assert.deepEqual(readPairing(), { token: "dtb_own", device: "d8", name: "this machine", role: "owner" });
});

test("where the browser keeps nothing, the pairing lasts as long as the window, and that is said", async () => {
  const texts = new Texts();
  texts.full = true;
  withTexts(texts);
  const device = { id: "d7", name: "n", role: "reader", paired: "" };
  assert.equal((await pairHere("1", "n", answering(201, { token: "t", device }).options)).kept, false);
  assert.equal(readPairing()?.role, "reader");
  withTexts(undefined);
  assert.equal(readPairing()?.role, "reader");
});

test("a pairing that is none is none", () => {
  const texts = new Texts();
  withTexts(texts);
  for (const text of ["", "{", "null", "7", '{"token":1,"role":"hand"}', '{"token":"t","role":"boss"}']) {
    texts.setItem("datumbook.pairing", text);
    assert.equal(readPairing(), undefined, text);
  }
});

test("what the office refuses comes with its reason and how long to wait", async () => {
  const { options } = answering(
    429,
    { error: { field: "code", message: "that was one wrong code too many; wait 16 seconds and try again" } },
    { "Retry-After": "16" },
  );
  await assert.rejects(pairHere("1", "n", options), (err: OfficeSays) => {
    assert.equal(err.name, "OfficeSays");
    assert.equal(err.wait, 16);
    assert.equal(err.field, "code");
    assert.equal(err.message, "That was one wrong code too many; wait 16 seconds and try again.");
    return true;
  });
  assert.equal(readPairing(), undefined);
});

test("silence, and a page from something else, are told apart", async () => {
  const down = (async () => Promise.reject(new TypeError("Failed to fetch"))) as typeof fetch;
  await assert.rejects(askOffice("GET", "/api/me", undefined, { fetcher: down, origin }), OutOfReach);
  const page = (() =>
    Promise.resolve(
      new Response("<!doctype html>", { headers: { "Content-Type": "text/html" } }),
    )) as typeof fetch;
  await assert.rejects(askOffice("GET", "/api/me", undefined, { fetcher: page, origin }), NotTheOffice);
});

test("the office's addresses are remembered for when it is away", async () => {
  withTexts(new Texts());
  assert.equal(readOffice(), undefined);
  const until = "2031-05-06T00:00:00Z";
  const said = { app: "https://datumbook.local:8470", start: "", fingerprint: "AA", until, network: true };
  const note = await askAddresses(1234, answering(200, { ...said, version: "1" }).options);
  assert.deepEqual(readOffice(), note);
  assert.deepEqual(note, { ...said, version: "1", heard: 1234 });
});

test("each wall has its own words, and each says that the records stay or how to take them along", () => {
  const rows: [string, unknown, boolean, string, RegExp][] = [
    ["never paired", { status: 401 }, false, "unpaired", /not paired.*Pair it with a code/],
    [
      "shut out",
      { status: 401, field: "revoked" },
      true,
      "revoked",
      /shut this device out.*still here.*pair again/,
    ],
    ["not known", { status: 401, field: "token" }, true, "unknown", /Pair it again/],
    ["a reader", { status: 403, reason: "this needs the role hand" }, true, "reader", /only read/],
    ["another machine", new NotTheOffice("x"), true, "stranger", /the shop's own network/],
    ["another address", { status: 421 }, true, "moved", /another address.*read the file in there/],
    ["a newer office", new NewerOffice("x"), true, "newer", /Update the app/],
    [
      "no room",
      new DOMException("x", "QuotaExceededError"),
      true,
      "full",
      /room for Datumbook is full.*still goes to the office/,
    ],
    ["too large", { status: 413 }, true, "large", /Save everything to a file/],
    ["no such book", { status: 404 }, true, "book", /Ask its owner/],
    ["trouble there", { status: 500, reason: "disk full." }, true, "office", /500: disk full\)/],
    ["out of reach", new TypeError("Failed to fetch"), true, "", /^$/],
    ["busy", { status: 429 }, true, "", /^$/],
  ];
  for (const [name, cause, paired, kind, text] of rows) {
    const wall = wallOf(cause, paired);
    assert.equal(wall.kind, kind, name);
    assert.match(wall.text, text, name);
  }
});

test("a file goes through the share sheet where it can, as text where only text may, else to the downloads", async () => {
  const file = new File(["{}"], "datumbook-shop-1.json", { type: "application/json" });
  const fail = (name: string) => () => Promise.reject(new DOMException("x", name));
  const done = () => Promise.resolve();
  const rows: [string, Partial<Hands>, string, string[]][] = [
    ["no share sheet", {}, "saved", ["download .json"]],
    ["takes it", { canShare: () => true, share: done }, "shared", ["share .json"]],
    [
      "takes only text",
      { canShare: ({ files }) => files[0]!.type === "text/plain", share: done },
      "shared",
      ["share .txt"],
    ],
    ["takes no file", { canShare: () => false, share: done }, "saved", ["download .json"]],
    ["closed again", { canShare: () => true, share: fail("AbortError") }, "cancelled", ["share .json"]],
    ["took too long", { canShare: () => true, share: fail("NotAllowedError") }, "again", ["share .json"]],
    [
      "breaks",
      { canShare: () => true, share: fail("DataError") },
      "saved",
      ["share .json", "download .json"],
    ],
  ];
  for (const [name, parts, want, did] of rows) {
    const log: string[] = [];
    const note = (how: string, f: File) => log.push(`${how} ${f.name.slice(f.name.lastIndexOf("."))}`);
    const { share } = parts;
    const hands: Hands = {
      ...parts,
      ...(share && {
        share: (data: { files: File[] }) => {
          note("share", data.files[0]!);
          return share(data);
        },
      }),
      download: (f) => note("download", f),
    };
    assert.equal(await handOver(file, hands), want, name);
    assert.deepEqual(log, did, name);
  }
});

test("a full store and a private window are said plainly; other faults keep their own words", () => {
  const full = /is full.*What you typed is still here.*Free some room.*save everything to a file/;
  const shut = /private/;
  const rows: [string, unknown, RegExp | undefined][] = [
    ["the browser's own", new DOMException("x", "QuotaExceededError"), full],
    [
      "through PouchDB",
      { name: "indexed_db_went_bad", message: "unknown", reason: "QuotaExceededError" },
      full,
    ],
    ["through PouchDB, another", { name: "indexed_db_went_bad", reason: "UnknownError" }, shut],
    ["no writing", new DOMException("a database that did not allow mutations", "InvalidStateError"), shut],
    ["switched off", new DOMException("denied", "SecurityError"), shut],
    ["a rule", new Error("Thread is missing."), undefined],
    ["nothing", undefined, undefined],
  ];
  for (const [name, cause, want] of rows) {
    const said = sayFault(cause);
    if (want) assert.match(said ?? "", want, name);
    else assert.equal(said, undefined, name);
  }
  assert.equal(wallOf({ status: 500, reason: "QuotaExceededError" }, true).kind, "full");
});
