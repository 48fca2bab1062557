import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";
import { anyDraft, clearDraft, loadDraft, saveDraft } from "../src/form/drafts";

/** localStorage as browsers have it, as far as drafts use it. */
class Repository {
  private kept = new Map<string, string>();
  full = false;
  get length() {
    return this.kept.size;
  }
  key(at: number) {
    return [...this.kept.keys()][at] ?? null;
  }
  getItem(name: string) {
    return this.kept.get(name) ?? null;
  }
  setItem(name: string, text: string) {
    if (this.full) {
      throw new DOMException("full", "QuotaExceededError");
    }
    this.kept.set(name, text);
  }
  removeItem(name: string) {
    this.kept.delete(name);
  }
}

let repo: Repository;
beforeEach(() => {
  repo = new Repository();
  Object.defineProperty(globalThis, "localStorage", { value: repo, configurable: true });
});

test("what was typed comes back as typed", () => {
  const draft = { inputs: { thread: "5/8-11", depth: "3/4+.015", note: "" }, more: { job: "Gear case" } };
  assert.equal(saveDraft("hole", draft), true);
  assert.deepEqual(loadDraft("hole"), draft);
  assert.equal(loadDraft("align"), undefined, "each form has its own");
  clearDraft("hole");
  assert.equal(loadDraft("hole"), undefined);
});

test("a browser that refuses to store is told of, not hidden", () => {
  repo.full = true;
  assert.equal(saveDraft("hole", { inputs: { depth: "1" } }), false);
  Object.defineProperty(globalThis, "localStorage", {
    configurable: true,
    get() {
      throw new DOMException("switched off", "SecurityError");
    },
  });
  assert.equal(saveDraft("hole", { inputs: { depth: "1" } }), false);
  assert.equal(loadDraft("hole"), undefined);
  assert.equal(anyDraft(), false);
});

test("damage gives an empty form, never a broken one", () => {
  for (const text of ["", "{", "null", "7", '{"inputs":7}', '{"inputs":null}', "[]"]) {
    repo.setItem("datumbook.draft.hole", text);
    assert.equal(loadDraft("hole"), undefined, text);
  }
  repo.setItem("datumbook.draft.hole", '{"inputs":{"depth":"1","stock":7},"more":{"job":null}}');
  assert.deepEqual(loadDraft("hole"), { inputs: { depth: "1" } });
});

test("anyDraft sees something typed, and only that", () => {
  assert.equal(anyDraft(), false);
  repo.setItem("someone else", "x");
  saveDraft("hole", { inputs: { depth: "" }, more: { note: "" } });
  assert.equal(anyDraft(), false, "empty fields are nothing typed");
  saveDraft("align", { inputs: {}, more: { note: "left bore" } });
  assert.equal(anyDraft(), true);
});
