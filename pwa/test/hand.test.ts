// What the hand does without typing: a pass timed, readings sent by a gauge or a scanner, said aloud
// by the phone's own voice, the light beside the camera, and a device called what it is.
import "./nowindow";
import assert from "node:assert/strict";
import { test } from "node:test";
import type { Rec } from "../src/records/fields";
import type { Kept } from "../src/records/kept";
import { deviceGuess } from "../src/office/use";
import { dark, light } from "../src/jobbook/light";
import { elapsed, passClock, passText, setStart, startOf, type Moment } from "../src/jobbook/pass";
import { canSpeak, hush, speak, spoken } from "../src/jobbook/speak";
import { darkens, sayDark } from "../src/jobbook/use";
import { planned } from "../src/jobbook/timed";
import { Burst, sent } from "../src/jobbook/wedge";

/** Puts something in place of what a browser has in its global scope. */
const put = (name: string, value: unknown) =>
  Object.defineProperty(globalThis, name, { value, configurable: true, writable: true });

test("a pass is what went by between two touches, through reload, lock and a clock set right or wrong", () => {
  const start: Moment = { at: 1_700_000_000_000, run: 1, own: 5_000 };
  const after = (at: number, own: number, run = 1) => ({ at: start.at + at, run, own: start.own + own });
  const cases: [string, Moment, number, ReturnType<typeof elapsed>][] = [
    ["in sight", after(252_000, 252_000), -1, { ms: 252_000 }],
    ["in sight, the clock set an hour back", after(252_000 - 3_600_000, 252_000), -1, { ms: 252_000 }],
    ["in sight, the clock set a year on", after(3e10, 252_000), -1, { ms: 252_000 }],
    ["locked meanwhile, the page's clock stood still", after(252_000, 20_000), 9_000, { ms: 252_000 }],
    ["locked, and the clock set back", after(-3_600_000, 20_000), 9_000, { wrong: "back" }],
    ["locked, and set back by less than went by", after(10_000, 60_000), 9_000, { wrong: "back" }],
    ["hidden before the start only", after(3e10, 60_000), 4_000, { ms: 60_000 }],
    ["a reload between", after(252_000, -4_000, 2), -1, { ms: 252_000 }],
    ["a reload, and the clock set back", after(-60_000, 3_000, 2), -1, { wrong: "back" }],
    ["clocks that differ by a little", after(-1_000, 3_000, 2), -1, { ms: 0 }],
    ["forgotten overnight", after(14 * 3_600_000, 3_000, 2), -1, { wrong: "long" }],
    ["a phone whose clock began anew", { at: NaN, run: 2, own: 0 }, -1, { wrong: "back" }],
  ];
  for (const [name, now, hidden, want] of cases) assert.deepEqual(elapsed(start, now, hidden), want, name);
});

test("its time is kept as it would be typed, and shown as a stopwatch shows it", () => {
  const cases: [number, string, string][] = [
    [400, "1 s", "0:00"],
    [48_400, "48 s", "0:48"],
    [59_700, "1 min", "0:59"],
    [252_000, "4.2 min", "4:12"],
    [253_000, "4.22 min", "4:13"],
    [3_600_000, "60 min", "1:00:00"],
    [3_723_000, "62.05 min", "1:02:03"],
  ];
  for (const [ms, text, clock] of cases) {
    assert.equal(passText(ms), text);
    assert.equal(passClock(ms), clock);
  }
});

test("the start is in the pocket, one for each step; where nothing is stored the window has it", () => {
  const now = { at: Date.now(), run: performance.timeOrigin, own: performance.now() };
  const kept = new Map<string, string>();
  put("localStorage", {
    getItem: (key: string) => kept.get(key) ?? null,
    setItem: (key: string, text: string) => void kept.set(key, text),
  });
  setStart("step:a", now);
  setStart("step:b", now);
  assert.deepEqual(startOf("step:a"), now);
  setStart("step:a", undefined);
  assert.equal(startOf("step:a"), undefined);
  assert.deepEqual(JSON.parse(kept.get("datumbook.passes")!), { "step:b": now });
  // One that was forgotten at another step goes with the next touch, and what is no start is none.
  kept.set(
    "datumbook.passes",
    JSON.stringify({ "step:c": { ...now, at: 5, run: 5 }, "step:d": { at: "x" } }),
  );
  assert.equal(startOf("step:d"), undefined);
  setStart("step:e", now);
  assert.deepEqual(Object.keys(JSON.parse(kept.get("datumbook.passes")!) as object), ["step:e"]);
  put("localStorage", undefined);
  setStart("step:f", now);
  assert.deepEqual(startOf("step:f"), now);
  setStart("step:f", undefined);
  assert.equal(startOf("step:f"), undefined);
});

test("a pass is held against the last plan of its own step", async () => {
  const kept = (id: string, made: string, step: string, worksheet = "facing") =>
    ({ id, made, values: { step, worksheet } }) as unknown as Rec;
  const answers: Record<string, unknown> = {
    "kept:1": { onepass: { text: "3.97 min", shown: "4 min" } },
    "kept:2": { onepass: { text: "2.10 min" } },
    "kept:3": { onepass: { text: "9 min" } },
    "kept:4": {},
  };
  const plans = [
    kept("kept:2", "2026-03-09T11:00:00Z", "step:a"),
    kept("kept:1", "2026-03-09T10:00:00Z", "step:a"),
    kept("kept:3", "2026-03-09T12:00:00Z", "step:b"),
    kept("kept:4", "2026-03-09T13:00:00Z", "step:a", "power"),
  ];
  const repo = { load: () => Promise.resolve(), all: () => plans };
  const book = {
    get: (id: string) => Promise.resolve({ answer: { results: answers[id] } } as unknown as Kept),
  };
  assert.equal(await planned(repo, book, { id: "step:a" }), "2.10 min");
  plans.shift();
  assert.equal(await planned(repo, book, { id: "step:a" }), "4 min");
  assert.equal(await planned(repo, book, { id: "step:c" }), "");
});

test("what a gauge or a scanner sends is read as it is meant, or told", () => {
  const cases: [string, bare: string, string][] = [
    ["+0.0012", "thou", "+0.0012 in"],
    ["+0.00005", "thou", "+0.00005 in"],
    ["-0,034", "mm", "-0.034"],
    ["-0,034", "um", "-0.034 mm"],
    ["-0.03", "um", "-0.03 mm"],
    ["12.5mm", "thou", "12.5 mm"],
    ["12,5 MM", "in", "12.5 mm"],
    ["0.0012in", "um", "0.0012 in"],
    ["+1.5", "thou", "+1.5"],
    ["\u22122", "thou", "-2"],
    ["  +0.0000 ", "thou", "+0.0000"],
    ["12.3456", "in", "12.3456"],
    ["+2", "um", "+2"],
    ["123456", "um", "123456"],
  ];
  for (const [text, bare, typed] of cases) assert.deepEqual(sent(text, bare), { typed }, `${text} ${bare}`);
  for (const [text, bare] of [
    ["0.012", "thou"], // inches or millimetres: only the machinist knows
    ["4006381333931", "thou"],
    ["96385074", "mm"],
    ["A12-0047", "thou"],
    ["12AB34", "in"],
    ["1,234,5", "mm"],
    ["1.2.3", "in"],
    ["", "thou"],
    ["+", "thou"],
    ["1e5", "in"],
  ] as const) {
    const out = sent(text, bare);
    assert.ok("fault" in out && out.fault.includes(`“${text}”`), text);
  }
});

test("a machine is known by its haste", () => {
  const keys = (...at: number[]) => {
    const burst = new Burst();
    at.slice(0, -1).forEach((ms, i) => burst.press(String(i), ms));
    return burst.endsQuick(at.at(-1)!);
  };
  assert.ok(keys(1000, 1004, 1010, 1015));
  assert.ok(!keys(1000, 1120, 1240, 1300), "a finger");
  assert.ok(!keys(1000, 1010, 1020, 1400), "Enter by hand");
  assert.ok(!keys(1000, 1010), "one key is no burst");
});

test("a reading is said figure by figure, by a voice of the phone's own or not at all", async () => {
  for (const [text, said] of [
    ["left: +1.5 thou", "left: plus 1 point 5 thousandths"],
    ["2: -12.5 um", "2: minus 1 2 point 5 micrometres"],
    ["+0.0012 in", "plus 0 point 0 0 1 2 inches"],
    ["-.034 mm", "minus point 0 3 4 millimetres"],
    ["Right end: tap back 2 thou", "Right end: tap back 2 thousandths"],
    ["+1/2 thou", "plus 1/2 thousandths"],
    ["a left-hand 10-32", "a left-hand 1 0-3 2"],
  ] as const)
    assert.equal(spoken(text), said);

  assert.equal(await canSpeak(), false, "a browser without speech");
  const log: string[] = [];
  const hears = new Map<string, () => void>();
  const page = {
    documentElement: { lang: "en" },
    visibilityState: "visible",
    addEventListener: (name: string, hear: () => void) => void hears.set(name, hear),
  };
  put("document", page);
  put(
    "SpeechSynthesisUtterance",
    class {
      voice = { name: "" };
      lang = "";
      constructor(readonly text: string) {}
    },
  );
  let voices = [{ name: "far", lang: "en-US", localService: false }];
  const changed = new EventTarget();
  put(
    "speechSynthesis",
    Object.assign(changed, {
      getVoices: () => voices,
      cancel: () => void log.push("stopped"),
      speak: (words: { text: string; voice: { name: string } }) =>
        void log.push(`${words.voice.name}: ${words.text}`),
    }),
  );
  speak("left: +1 thou");
  assert.deepEqual(log, [], "nothing goes to a voice that is elsewhere");
  const asked = canSpeak();
  voices = [
    ...voices,
    { name: "haus", lang: "de-DE", localService: true },
    { name: "own", lang: "en-GB", localService: true },
  ];
  changed.dispatchEvent(new Event("voiceschanged"));
  assert.equal(await asked, true, "voices may come a moment later");
  speak("left: +1 thou");
  assert.deepEqual(log.splice(0), ["stopped", "own: left: plus 1 thousandths"]);
  page.visibilityState = "hidden";
  hears.get("visibilitychange")!();
  assert.deepEqual(log.splice(0), ["stopped"], "with the page");
  hush();
  assert.deepEqual(log, ["stopped"]);
});

test("the light is the camera's that has one; let go with the light, and told where there is none", async () => {
  const log: string[] = [];
  const camera = (name: string, torch: boolean) => ({
    getCapabilities: () => (torch ? { torch: true } : {}),
    getSettings: () => ({ deviceId: name }),
    addEventListener: () => undefined,
    applyConstraints: (c: { advanced: { torch: boolean }[] }) => {
      log.push(`${name} lit ${c.advanced[0]!.torch}`);
      return Promise.resolve();
    },
    stop: () => void log.push(`${name} let go`),
  });
  type Asked = { video: { facingMode?: string; deviceId?: { exact: string } } };
  let cameras = [camera("wide", false), camera("main", true)];
  let open = ({ video }: Asked) => {
    const found = video.deviceId
      ? cameras.find((c) => c.getSettings().deviceId === video.deviceId!.exact)!
      : cameras[0]!;
    return Promise.resolve({ getVideoTracks: () => [found] });
  };
  const kept = new Map<string, string>();
  put("localStorage", {
    getItem: (k: string) => kept.get(k) ?? null,
    setItem: (k: string, v: string) => void kept.set(k, v),
  });
  put("navigator", {
    mediaDevices: {
      getUserMedia: (asked: Asked) => open(asked),
      enumerateDevices: () =>
        Promise.resolve([
          { kind: "audioinput", deviceId: "mike", label: "" },
          { kind: "videoinput", deviceId: "selfie", label: "camera 1, facing front" },
          ...cameras.map((c) => ({
            kind: "videoinput",
            deviceId: c.getSettings().deviceId,
            label: "camera, facing back",
          })),
        ]),
    },
  });
  assert.equal(await light(), undefined);
  assert.deepEqual(log.splice(0), ["wide let go", "main lit true"]);
  dark();
  assert.deepEqual(log.splice(0), ["main let go"]);

  // Touched again, or the page gone, while the person is asked.
  const going = light();
  dark();
  await going;
  assert.deepEqual(log.splice(0), ["wide let go", "main let go"]);

  for (const [name, why] of [
    ["NotAllowedError", "refused"],
    ["NotReadableError", "busy"],
    ["NotFoundError", "none"],
  ] as const) {
    const before = open;
    open = () => Promise.reject(new DOMException("", name));
    assert.equal(await light(), why);
    open = before;
  }
  assert.equal(kept.size, 0, "it may be allowed, or free, the next time");
  cameras = [camera("only", false)];
  assert.equal(await light(), "none");
  assert.deepEqual(log, ["only let go"]);
  assert.ok(kept.has("datumbook.nolight"), "no key again");
});

test("that the screen may go dark is said once, with where the phone has that set", () => {
  const iphone = "Mozilla/5.0 (iPhone; CPU iPhone OS 17_5 like Mac OS X)";
  const on = (
    userAgent: string,
    maxTouchPoints: number,
    lock: boolean,
    home: boolean,
    iterators: boolean,
  ) => {
    put("navigator", { userAgent, maxTouchPoints, ...(lock && { wakeLock: {} }) });
    put("matchMedia", (query: string) => ({ matches: home && query.includes("standalone") }));
    if (iterators) put("Iterator", class {});
    else delete (globalThis as Record<string, unknown>)["Iterator"];
    return darkens();
  };
  const had = (globalThis as Record<string, unknown>)["Iterator"];
  assert.equal(on(iphone, 5, true, true, false), true, "before 18.4, on the home screen");
  assert.equal(on(iphone, 5, true, false, false), false, "before 18.4, in the browser");
  assert.equal(on(iphone, 5, true, true, true), false, "18.4");
  assert.equal(on("Mozilla/5.0 (Linux; Android 13)", 5, true, true, false), false);
  assert.equal(on("Mozilla/5.0 (X11; Linux x86_64)", 0, false, false, true), true, "none at all");
  put("Iterator", had);

  for (const [agent, fingers, where] of [
    [iphone, 5, "Auto-Lock"],
    ["Mozilla/5.0 (Macintosh; Intel Mac OS X 10_15_7)", 5, "Auto-Lock"],
    ["Mozilla/5.0 (Linux; Android 13)", 5, "Screen timeout"],
    ["Mozilla/5.0 (X11; Linux x86_64)", 0, "screen settings"],
  ] as const) {
    const kept = new Map<string, string>();
    put("localStorage", {
      getItem: (k: string) => kept.get(k) ?? null,
      setItem: (k: string, v: string) => void kept.set(k, v),
    });
    put("navigator", { userAgent: agent, maxTouchPoints: fingers });
    const said: string[] = [];
    for (let i = 0; i < 3; i++) sayDark((text) => void said.push(text));
    assert.equal(said.length, 1);
    assert.ok(said[0]!.includes(where), said[0]);
  }
});

test("a device is called what it most likely is", () => {
  const mac = "Mozilla/5.0 (Macintosh; Intel Mac OS X 10_15_7)";
  for (const [agent, fingers, name] of [
    ["Mozilla/5.0 (iPhone; CPU iPhone OS 17_5 like Mac OS X)", 5, "Phone"],
    [mac, 5, "Tablet"],
    [mac, 0, "Desk machine"],
    ["Mozilla/5.0 (Linux; Android 10; K) Mobile Safari/537.36", 5, "Phone"],
    ["Mozilla/5.0 (Linux; Android 10; K) Safari/537.36", 5, "Tablet"],
    ["Mozilla/5.0 (X11; Linux x86_64)", 0, "Desk machine"],
  ] as const)
    assert.equal(deviceGuess(agent, fingers), name);
});
