import assert from "node:assert/strict";
import { test } from "node:test";
import { NotTheOffice } from "../src/sync/fetch";
import { makeDoc } from "../src/records/rules";
import { chance } from "../src/storage/chance";
import { sayStorage } from "../src/storage/persist";
import { atStart, clock, gravest, lastWord, sayState, type Facts } from "../src/sync/status";
import type { Missed } from "../src/sync/aside";
import type { Wall } from "../src/sync/connection";
import { barrier } from "../src/sync/sync";
import { startRules } from "./rules";

const now = new Date(2025, 10, 25, 14, 30);
const at = (hours: number, minutes: number) => new Date(2025, 10, 25, hours, minutes).getTime();

test("where the records are, in words", () => {
  const rows: [string, Parameters<typeof sayState>[0], string, string][] = [
    ["never at the office", { ...atStart, waiting: 3 }, "phone", "on this phone only"],
    ["nothing kept yet", atStart, "phone", "on this phone only"],
    ["some wait", { ...atStart, waiting: 3, confirmed: at(10, 42) }, "waiting", "3 waiting"],
    ["all there", { ...atStart, confirmed: at(10, 42), connected: true }, "office", "at the office 10:42"],
    [
      "all there, and the office gone since",
      { ...atStart, confirmed: at(7, 5) },
      "office",
      "at the office 07:05",
    ],
  ];
  for (const [name, facts, kind, words] of rows) {
    const state = sayState(facts, now);
    assert.equal(state.kind, kind, name);
    assert.equal(state.words, words, name);
  }
});

test("the head's last word: a sign of its own for each of six states, two words at most", () => {
  const there: Facts = { ...atStart, confirmed: at(10, 42), connected: true };
  const wall: Wall = { kind: "moved", text: "The office machine goes by another address now." };
  const rows: [Facts, number, string, string][] = [
    [there, 0, "office", "10:42"],
    [{ ...there, connected: false }, 0, "office", "10:42"],
    [{ ...there, waiting: 3 }, 0, "waiting", "3 to send"],
    [{ ...there, waiting: 1, moving: true }, 0, "going", "2 of 3"],
    [{ ...there, moving: true }, 0, "going", "10:42"],
    [{ ...there, waiting: 3, connected: false }, 0, "unreachable", "3 here only"],
    [atStart, 0, "unreachable", "here only"],
    [{ ...there, waiting: 3 }, 1, "two", "1 differs"],
    [{ ...there, waiting: 3 }, 2, "two", "2 differ"],
    [{ ...there, waiting: 3, push: wall }, 2, "trouble", "stuck"],
    [{ ...there, refused: [{ id: "kept:1", text: "no" }] }, 0, "trouble", "stuck"],
    [{ ...there, pull: { kind: "stranger", text: "x" } }, 0, "office", "10:42"],
  ];
  const seen = new Set<string>();
  for (const [facts, differs, sign, words] of rows) {
    const state = sayState(facts, now);
    const last = lastWord(state, { differs, top: 3, trouble: gravest(state.trouble).length > 0 });
    assert.deepEqual(last, { sign, words });
    assert.ok((words.replace(/[\d:]+/g, "").match(/\S+/g) ?? []).length <= 2, words);
    seen.add(last.sign);
  }
  assert.equal(seen.size, 6);
  const all = gravest([
    { text: "the office's own" },
    { text: "moved", wall: "moved" },
    { text: "elsewhere", wall: "stranger" },
    { text: "a record", id: "kept:1" },
    { text: "no room", wall: "full" },
  ]);
  assert.deepEqual(
    all.map((t) => t.text),
    ["a record", "no room", "moved", "the office's own"],
  );
});

test("a day that is not today is named", () => {
  assert.equal(clock(new Date(2025, 10, 25, 0, 0), now), "00:00");
  assert.equal(clock(new Date(2025, 10, 24, 23, 59), now), "24 Nov 23:59");
  assert.equal(clock(new Date(2024, 2, 3, 10, 42), now), "3 Mar 2024 10:42");
});

test("refusals and barriers are trouble, and are not swallowed", () => {
  const wall: Wall = { kind: "", text: "closed" };
  const state = sayState(
    { ...atStart, refused: [{ id: "kept:1", text: "no" }], push: wall, office: "No room at the office." },
    now,
  );
  assert.deepEqual(state.trouble, [
    { text: "No room at the office." },
    { text: "closed" },
    { id: "kept:1", text: "no" },
  ]);
});

test("the line tells the worse of what goes and what comes", () => {
  const there: Facts = { ...atStart, confirmed: at(14, 29), connected: true };
  const lost = (id: string, kind: Missed["kind"] = "damaged"): Missed => ({
    ...{ id, kind, rev: "1-a", reason: "a photo of it is damaged", at: 0 },
  });
  const stuck: Wall = { kind: "office", text: "The office machine reported trouble (500)." };
  const rows: [string, Facts, string, RegExp | undefined][] = [
    ["all is well", there, "at the office 14:29", undefined],
    ["what waits is not counted yet", { ...there, looking: true }, "looking …", undefined],
    ["some of it is", { ...there, looking: true, waiting: 2 }, "2 waiting", undefined],
    ["what comes is stuck", { ...there, pull: stuck }, "not up to date", /trouble \(500\)/],
    ["what goes is stuck too", { ...there, waiting: 2, pull: stuck, push: stuck }, "2 waiting", /500/],
    ["nothing comes", { ...there, silent: at(14, 28) }, "not up to date", /Nothing has come .* since 14:28/],
    ["nothing came yet", { ...there, silent: now.getTime() - 59_000 }, "at the office 14:29", undefined],
    ["one is damaged", { ...there, missed: [lost("photo:1")] }, "1 not here", /damaged\. Everything else/],
    [
      "this device cannot store it",
      { ...there, missed: [lost("a", "store")] },
      "1 not here",
      /could not store/,
    ],
    ["some wait, one is damaged", { ...there, waiting: 3, missed: [lost("a")] }, "3 waiting", /damaged/],
    ["in another network", { ...there, pull: { kind: "stranger", text: "x" } }, "at the office 14:29", /x/],
  ];
  for (const [name, facts, words, trouble] of rows) {
    const state = sayState(facts, now);
    assert.equal(state.words, words, name);
    assert.equal(state.kind === "office", words.startsWith("at the office"), name);
    if (trouble) assert.match(state.trouble[0]!.text, trouble, name);
    else assert.deepEqual(state.trouble, [], name);
  }
  const many = sayState({ ...there, missed: Array.from({ length: 14 }, (_, i) => lost(`a${i}`)) }, now);
  assert.equal(many.trouble.length, 11);
  assert.match(many.trouble[10]!.text, /^4 more records/);
  const large = sayState({ ...there, missed: [lost("a", "large"), lost("b", "large")] }, now);
  assert.equal(large.words, "at the office 14:29");
  assert.deepEqual(large.trouble, []);
  assert.match(large.note!, /^2 records are larger than phones take/);
});

test("a clock that is off is said by how much and which way", () => {
  const clock = (minutes: number) => sayState({ ...atStart, ahead: minutes * 60_000 }, now).clock;
  assert.equal(sayState(atStart, now).clock, undefined);
  assert.match(clock(6)!, /^This device's clock is 6 minutes ahead of the office's/);
  assert.match(clock(-90)!, /clock is 90 minutes behind/);
  assert.match(clock(-300)!, /clock is 5 hours behind/);
  assert.match(clock(60 * 24 * 365)!, /clock is 365 days ahead/);
});

test("out of reach is no trouble; anything else is said with what to do", () => {
  for (const quiet of [
    new TypeError("Failed to fetch"),
    new DOMException("x", "TimeoutError"),
    { status: 503 },
    undefined,
  ]) {
    assert.equal(barrier(quiet), "");
  }
  assert.match(barrier(new NotTheOffice("html")), /the shop's own network/);
  assert.match(barrier({ status: 401 }), /Pair it again/);
  assert.match(barrier({ status: 404 }), /no book of this name/);
  assert.match(barrier({ status: 413 }), /Save everything to a file/);
  assert.match(barrier({ status: 500, reason: "disk full" }), /500: disk full/);
  assert.match(barrier(new DOMException("x", "QuotaExceededError")), /room for Datumbook is full/);
});

test("ids sort by time and never repeat, also where the clock stands still", async () => {
  const ask = await startRules();
  const id = async (ms: number) => {
    const given = {
      type: "note",
      ms,
      chance: chance(20),
      set: { text: "x" },
      device: "abc",
      by: "abc",
      at: "",
    };
    return (await makeDoc(ask, { ...given, unit: "in" }))._id;
  };
  const ids = await Promise.all(Array.from({ length: 2_000 }, () => id(now.getTime())));
  assert.equal(new Set(ids).size, ids.length);
  assert.ok((await id(1_700_000_000_000)) < (await id(1_700_000_000_001)));
});

test("storage that may be cleared is said with the way out", () => {
  assert.equal(sayStorage(true).kind, "granted");
  assert.match(sayStorage(false).words, /may clear.*Install the app/);
  assert.match(sayStorage(undefined).words, /save them to a file/);
});
