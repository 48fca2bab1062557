import assert from "node:assert/strict";
import { test } from "node:test";
import { NotTheOffice } from "../src/sync/fetch";
import { chance, makeDoc } from "../src/records/rules";
import { sayStorage } from "../src/storage/persist";
import { atStart, clock, sayState } from "../src/sync/status";
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

test("a day that is not today is named", () => {
  assert.equal(clock(new Date(2025, 10, 25, 0, 0), now), "00:00");
  assert.equal(clock(new Date(2025, 10, 24, 23, 59), now), "24 Nov 23:59");
  assert.equal(clock(new Date(2024, 2, 3, 10, 42), now), "3 Mar 2024 10:42");
});

test("refusals and barriers are trouble, and are not swallowed", () => {
  const state = sayState({ ...atStart, refused: [{ id: "kept:1", text: "no" }], barrier: "closed" }, now);
  assert.deepEqual(state.trouble, [{ id: "kept:1", text: "no" }, { text: "closed" }]);
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
