import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { alone, makeBridge, officeAsker, type Helper, type Means } from "../src/engine/bridge";
import { pack, unpack, type FromWorker, type ToWorker } from "../src/engine/protocol";
import type { Check, Describe, Reply } from "../src/engine/contract.gen";

type Ask = Extract<ToWorker, { kind: "run" }>;

const module = {} as WebAssembly.Module;

/** A worker that answers on demand, so that a test decides the order of answers. */
class Hand implements Helper {
  onmessage: Helper["onmessage"] = null;
  onerror: Helper["onerror"] = null;
  asked: ToWorker[] = [];
  terminated = false;

  constructor(private unloaded = "") {}

  postMessage(message: ToWorker): void {
    this.asked.push(message);
    if (message.kind !== "start") {
      return;
    }
    queueMicrotask(() => {
      if (this.unloaded) {
        this.say({ kind: "unloaded", why: this.unloaded });
        return;
      }
      if (typeof message.from === "string") {
        this.say({ kind: "compiled", module });
      }
      this.say({ kind: "ready" });
    });
  }

  say(message: FromWorker): void {
    this.onmessage?.({ data: message });
  }

  terminate(): void {
    this.terminated = true;
  }

  questions(): Ask[] {
    return this.asked.filter((message) => message.kind === "run");
  }

  answer(): void {
    const last = this.questions().at(-1)!;
    this.say({
      kind: "answer",
      id: last.id,
      json: JSON.stringify({ worksheet: last.name, echo: last.pairs }),
    });
  }
}

const filedCheck: Check = {
  sheet: "hole",
  what: "percentage of thread",
  expected: "69",
  got: "69.1",
  tolerance: "0.5",
  unit: "%",
  source: "a handbook",
  provenance: "published",
  pass: true,
};

function setUp(
  options: { patience?: number; sheets?: () => Promise<Describe>; unloaded?: string } & Pick<
    Means,
    "office" | "after"
  > = {},
) {
  const hands: Hand[] = [];
  const bridge = makeBridge({
    spawn: () => {
      const hand = new Hand(options.unloaded);
      hands.push(hand);
      return hand;
    },
    wasm: "/calc.wasm",
    ...(options.after && { after: options.after }),
    ...(options.office && { office: options.office }),
    sheets: options.sheets ?? (() => Promise.reject(new Error("no network"))),
    checks: () => Promise.resolve([filedCheck]),
    patience: options.patience ?? 5_000,
  });
  return { bridge, hands, hand: () => hands.at(-1)! };
}

const turn = () => new Promise((done) => setTimeout(done, 0));
const echo = (reply: Reply | undefined) => (reply as unknown as { echo: string } | undefined)?.echo;

test("what was typed is packed with separators, empty fields left out", () => {
  assert.equal(pack({ thread: "5/8-11", depth: "", stock: "0.95" }), "thread\x1f5/8-11\x1estock\x1f0.95");
  assert.equal(pack({ a: "1\x1e2\x1f3" }), "a\x1f1 2 3");
  assert.deepEqual(unpack("thread\x1f5/8-11\x1estock\x1f0.95"), { thread: "5/8-11", stock: "0.95" });
  assert.deepEqual(unpack(""), {});
});

test("the newest question of a lane wins, those it overtook give undefined", async () => {
  const { bridge, hand } = setUp();
  await turn();
  const replies = ["1", "2", "3", "4"].map((depth) => bridge.run("hole", "in", { depth }));
  assert.equal(hand().questions().length, 1, "one question at a time");
  hand().answer(); // of the first, already superseded
  await turn();
  assert.equal(hand().questions().length, 2);
  hand().answer();
  assert.deepEqual((await Promise.all(replies)).map(echo), [undefined, undefined, undefined, "depth\x1f4"]);
});

test("lanes do not overtake each other and are answered in turn", async () => {
  const { bridge, hand } = setUp();
  await turn();
  const a = bridge.run("hole", "in", { depth: "1" });
  const b = bridge.run("align", "in", { x: "1" });
  const c = bridge.run("hole", "in", { depth: "2" }, "second hole");
  for (let i = 0; i < 3; i++) {
    hand().answer();
    await turn();
  }
  assert.deepEqual([await a, await b, await c].map(echo), ["depth\x1f1", "x\x1f1", "depth\x1f2"]);
});

test("questions asked before the start are answered after it", async () => {
  const { bridge, hand } = setUp();
  const reply = bridge.run("hole", "mm", { depth: "10" });
  assert.equal(bridge.state, "starting");
  await turn();
  assert.equal(bridge.state, "ready");
  assert.equal(hand().questions()[0]?.unit, "mm");
  hand().answer();
  assert.equal(echo(await reply), "depth\x1f10");
});

test("when the Go program ends it is started again and the question asked again, the module compiled once", async () => {
  const { bridge, hands, hand } = setUp();
  const states: string[] = [];
  bridge.onState((state) => states.push(state));
  await turn();
  const reply = bridge.run("hole", "in", { depth: "1" });
  hand().say({ kind: "ended", why: "exit code 2" });
  await turn();
  assert.equal(hands.length, 2);
  assert.ok(hands[0]!.terminated);
  hand().answer();
  assert.equal(echo(await reply), "depth\x1f1");
  assert.deepEqual(states, ["ready", "restarting", "ready"]);
  assert.deepEqual(
    hands.map(({ asked: [first] }) => first),
    [
      { kind: "start", from: "/calc.wasm", count: false },
      { kind: "start", from: module, count: false },
    ],
  );
});

test("an entry that ends the calculations twice gets a fault, and the next entry an answer", async () => {
  const { bridge, hand } = setUp();
  await turn();
  const bad = bridge.run("hole", "in", { depth: "bad" });
  hand().say({ kind: "ended", why: "panic" });
  await turn();
  hand().onerror?.({ message: "unreachable" });
  const reply = (await bad) as { error: { field: string; message: string } };
  assert.equal(reply.error.field, "");
  assert.match(reply.error.message, /Change a number/);
  await turn();
  const good = bridge.run("hole", "in", { depth: "1" });
  hand().answer();
  assert.equal(echo(await good), "depth\x1f1");
});

test("an entry that was changed while the calculations broke on it is not asked again", async () => {
  const { bridge, hand } = setUp();
  await turn();
  const bad = bridge.run("hole", "in", { depth: "bad" });
  const good = bridge.run("hole", "in", { depth: "1" });
  hand().say({ kind: "ended", why: "panic" });
  assert.equal(await bad, undefined);
  await turn();
  assert.deepEqual(
    hand()
      .questions()
      .map((q) => q.pairs),
    ["depth\x1f1"],
  );
  hand().answer();
  assert.equal(echo(await good), "depth\x1f1");
});

test("silence counts as an end", async () => {
  const { bridge, hands, hand } = setUp({ patience: 250 });
  await turn();
  const reply = bridge.run("hole", "in", { depth: "1" });
  while (hands.length < 2) {
    await turn();
  }
  while (hand().questions().length === 0) {
    await turn();
  }
  hand().answer();
  assert.equal(echo(await reply), "depth\x1f1");
});

test("after too many ends it stops, says so, keeps the question, and retry starts it again", async () => {
  const { bridge, hands, hand } = setUp();
  await turn();
  const reply = bridge.run("hole", "in", { depth: "1" }, "a");
  hand().answer();
  await reply;
  for (let i = 0; i < 5; i++) {
    hand().say({ kind: "ended", why: "out of memory" });
    await turn();
  }
  assert.equal(bridge.state, "stopped");
  assert.match(bridge.trouble, /out of memory.*What you typed is still here/);
  const started = hands.length;
  const later = bridge.run("hole", "in", { depth: "2" });
  await turn();
  assert.equal(hands.length, started, "it does not start by itself");
  bridge.retry();
  await turn();
  assert.equal(bridge.state, "ready");
  assert.equal(bridge.trouble, "");
  hand().answer();
  assert.equal(echo(await later), "depth\x1f2");
});

test("a module that cannot be loaded stops it with the reason", async () => {
  const { bridge } = setUp({ unloaded: "the answer was 404" });
  await turn();
  assert.equal(bridge.state, "stopped");
  assert.match(bridge.trouble, /could not be loaded \(the answer was 404\)/);
});

test("the worksheets come from the build's file, and where that fails it is said", async () => {
  const filed = setUp({
    sheets: () => Promise.resolve({ groups: [], worksheets: [], stages: [], pages: [] }),
  });
  assert.deepEqual(await filed.bridge.describe(), { groups: [], worksheets: [], stages: [], pages: [] });
  await assert.rejects(setUp().bridge.describe(), /no network/);
});

test("published values come from the build's file, also while the calculations are stopped", async () => {
  const { bridge } = setUp({ unloaded: "the answer was 404" });
  await turn();
  assert.equal(bridge.state, "stopped");
  assert.deepEqual(await bridge.checks(), [filedCheck]);
});

test("a browser that gives no worker is told in words, and asked again when wanted", async () => {
  let refuses = true;
  const hand = new Hand();
  const bridge = makeBridge({
    spawn: () => {
      if (refuses) {
        throw new Error("no workers here");
      }
      return hand;
    },
    wasm: "/calc.wasm",
    sheets: () => Promise.reject(new Error("no network")),
    checks: () => Promise.resolve([filedCheck]),
    patience: 5_000,
  });
  assert.equal(bridge.state, "stopped");
  assert.match(bridge.trouble, /could not be started \(Error: no workers here\)/);
  refuses = false;
  bridge.retry();
  const reply = bridge.run("hole", "in", { depth: "1" });
  await turn();
  hand.answer();
  assert.equal(echo(await reply), "depth\x1f1");
});

/** An office that answers when the test lets it. */
function slowOffice() {
  const asked: { pairs: string; say: (json: string | undefined) => void }[] = [];
  const office: NonNullable<Means["office"]> = (about) =>
    new Promise((say) => asked.push({ pairs: about.kind === "run" ? about.pairs : about.op, say }));
  return { asked, office, echo: (i: number) => asked[i]!.say(JSON.stringify({ echo: asked[i]!.pairs })) };
}

test("until the arithmetic has come the office answers, the newest question of a lane alone", async () => {
  let go = () => {};
  const { asked, office, echo: say } = slowOffice();
  const { bridge, hands, hand } = setUp({ office, after: new Promise<void>((done) => (go = done)) });
  const old = bridge.run("hole", "in", { depth: "1" });
  const now = bridge.run("hole", "in", { depth: "2" });
  const ruled = bridge.book("check", "{}");
  const found = bridge.book("find", "{}");
  assert.deepEqual(
    asked.map((a) => a.pairs),
    ["depth\x1f1", "depth\x1f2", "check"],
    "what needs what went before is not asked",
  );
  say(1);
  say(0); // late, and of a question that was replaced
  say(2);
  assert.equal(await old, undefined);
  assert.equal(echo(await now), "depth\x1f2");
  assert.equal(await ruled, JSON.stringify({ echo: "check" }));
  assert.equal(hands.length, 0, "the worker waits for the screen");
  go();
  await turn();
  assert.equal(hand().questions().length, 0, "what was answered is not asked again");
  assert.equal(hand().asked.at(-1)?.kind, "book");
  void found;
});

test("an office that does not answer, or later than the phone, changes nothing", async () => {
  const { asked, office, echo: say } = slowOffice();
  const { bridge, hand } = setUp({ office });
  const reply = bridge.run("hole", "in", { depth: "1" });
  const other = bridge.run("align", "in", { x: "1" });
  asked[0]!.say(undefined);
  await turn();
  await turn();
  hand().answer();
  assert.equal(echo(await reply), "depth\x1f1");
  await turn();
  hand().answer();
  assert.equal(echo(await other), "x\x1f1");
  say(1);
  const next = bridge.run("hole", "in", { depth: "3" });
  assert.equal(asked.length, 2, "the phone has its own arithmetic now");
  hand().answer();
  assert.equal(echo(await next), "depth\x1f3");
});

test("where the arithmetic cannot be loaded the office goes on answering", async () => {
  const { asked, office, echo: say } = slowOffice();
  const { bridge } = setUp({ office, unloaded: "the answer was 404" });
  await turn();
  const reply = bridge.run("hole", "in", { depth: "1" });
  assert.equal(asked.length, 1);
  say(0);
  assert.equal(echo(await reply), "depth\x1f1");
});

test("the office is asked what the worker would be, and one that is none is not asked again", async () => {
  const sent: [string, RequestInit][] = [];
  let status = 200;
  let body = "{}";
  const ask = ((url: string, init: RequestInit) => {
    sent.push([url, init]);
    return Promise.resolve(new Response(body, { status, headers: { "Content-Type": "application/json" } }));
  }) as typeof fetch;
  Object.defineProperty(globalThis.navigator, "onLine", { value: true, configurable: true });
  const office = officeAsker(() => "abc", ask)!;
  const run = { kind: "run", name: "hole", unit: "mm", pairs: pack({ depth: "10" }) } as const;
  body = '{"worksheet":"hole"}';
  assert.equal(await office(run), body);
  const [url, init] = sent[0]!;
  assert.equal(url, "/api/calc/hole?unit=mm");
  assert.equal(init.body, '{"depth":"10"}');
  assert.equal(new Headers(init.headers).get("Authorization"), "Bearer abc");
  [status, body] = [422, '{"error":{"field":"depth","message":"too deep"}}'];
  assert.equal(await office(run), body, "a refusal is an answer");
  [status, body] = [503, "{}"];
  assert.equal(await office(run), undefined);
  [status, body] = [404, "{}"];
  assert.equal(await office(run), undefined);
  [status, body] = [200, "{}"];
  assert.equal(await office(run), undefined);
  assert.equal(sent.length, 4, "after a 404 it is not asked again");
  assert.equal(await office({ kind: "book", op: "check", json: "{}" }), "{}", "the other kind is");
  assert.equal(sent[4]![0], "/api/rules/check");
});

test("the operations asked of the office are those it answers", () => {
  const text = readFileSync("../cmd/datumbook/worksheets.go", "utf8");
  const [, list = ""] = /var alone = \[\]string\{([^}]*)\}/.exec(text) ?? [];
  assert.deepEqual([...alone].sort(), [...list.matchAll(/"(\w+)"/g)].map((m) => m[1]!).sort());
});
