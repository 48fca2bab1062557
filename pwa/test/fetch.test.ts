import assert from "node:assert/strict";
import { createServer, type RequestListener } from "node:http";
import type { AddressInfo } from "node:net";
import { test } from "node:test";
import { NotTheOffice, watchedFetch } from "../src/sync/fetch";

async function serving(handle: RequestListener, ask: (url: string) => Promise<void>): Promise<void> {
  const server = createServer(handle);
  await new Promise<void>((ready) => server.listen(0, "127.0.0.1", ready));
  try {
    await ask(`http://127.0.0.1:${(server.address() as AddressInfo).port}/sync/`);
  } finally {
    server.closeAllConnections();
    server.close();
  }
}

test("an answer comes through whole, with its status and headers, and is told of", async () => {
  let heard = 0;
  let saw: string | undefined;
  await serving(
    (request, response) => {
      saw = request.headers.authorization;
      response.writeHead(409, { "Content-Type": "application/json", "X-Mark": "1" });
      response.end('{"error":"conflict"}');
    },
    async (url) => {
      const response = await watchedFetch({ silence: 1_000, heard: () => heard++, token: () => "abc" })(url);
      assert.equal(response.status, 409);
      assert.equal(response.headers.get("X-Mark"), "1");
      assert.deepEqual(await response.json(), { error: "conflict" });
    },
  );
  assert.equal(heard, 1);
  assert.equal(saw, "Bearer abc");
});

test("silence ends a request: before the answer, and in the middle of it", async () => {
  for (const part of ["", '{"results":[']) {
    await serving(
      (_, response) => {
        if (part) {
          response.write(part);
        }
      },
      async (url) => {
        await assert.rejects(watchedFetch({ silence: 60 })(url), { name: "TimeoutError" });
      },
    );
  }
});

test("signs of life keep a long poll open beyond the limit", async () => {
  await serving(
    (_, response) => {
      let beats = 0;
      const timer = setInterval(() => {
        if (++beats < 8) {
          response.write("\n");
        } else {
          clearInterval(timer);
          response.end('{"results":[],"last_seq":1}');
        }
      }, 40);
    },
    async (url) => {
      const start = Date.now();
      const response = await watchedFetch({ silence: 200 })(url);
      assert.deepEqual(await response.json(), { results: [], last_seq: 1 });
      assert.ok(Date.now() - start > 250);
    },
  );
});

test("a large upload is granted time by its size", async () => {
  await serving(
    (request, response) => {
      request.resume();
      setTimeout(() => response.end("{}"), 150);
    },
    async (url) => {
      await assert.rejects(watchedFetch({ silence: 50 })(url, { method: "POST", body: "x" }), {
        name: "TimeoutError",
      });
      const response = await watchedFetch({ silence: 50 })(url, { method: "POST", body: "x".repeat(4_000) });
      assert.equal(response.status, 200);
    },
  );
});

test("a page instead of an answer is not the office", async () => {
  await serving(
    (_, response) => {
      response.writeHead(200, { "Content-Type": "text/html; charset=utf-8" });
      response.end("<p>Welcome to the network</p>");
    },
    async (url) => {
      await assert.rejects(watchedFetch({ silence: 1_000 })(url), NotTheOffice);
    },
  );
});

test("a cancelled request ends, also one cancelled before it began", async () => {
  await serving(
    () => undefined,
    async (url) => {
      const stop = new AbortController();
      const going = watchedFetch({ silence: 5_000 })(url, { signal: stop.signal });
      setTimeout(() => stop.abort(), 20);
      await assert.rejects(going, { name: "AbortError" });
      await assert.rejects(watchedFetch({ silence: 5_000 })(url, { signal: AbortSignal.abort() }), {
        name: "AbortError",
      });
    },
  );
});
