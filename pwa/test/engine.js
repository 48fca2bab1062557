// Drives a browser for the tests of cmd/datumbook that run in every engine: one question a line on
// standard input, one answer a line on standard output, both JSON. Chromium and Firefox are driven by
// WebDriver BiDi, WebKit by WebKitGTK's WebDriver.
import { spawn } from "node:child_process";
import { readFile } from "node:fs/promises";
import { createInterface } from "node:readline";
import puppeteer from "puppeteer-core";
import { Browser, Builder, By, Capabilities, Origin } from "selenium-webdriver";

const [engine, executable, profile, colours] = process.argv.slice(2);

/** Colours of the user's own, which Firefox forces on every page. */
const forced = {
  "browser.display.document_color_use": 2,
  "browser.display.use_system_colors": false,
  "browser.display.foreground_color": "#ffff00",
  "browser.display.background_color": "#000000",
  "browser.anchor_color": "#00ffff",
};

async function bidi(browser) {
  const b = await puppeteer.launch({
    browser,
    executablePath: executable,
    userDataDir: profile,
    headless: true,
    protocol: "webDriverBiDi",
    acceptInsecureCerts: true,
    args: browser === "chrome" ? ["--no-sandbox"] : [],
    extraPrefsFirefox: {
      "dom.w3c_touch_events.enabled": 1,
      "ui.useOverlayScrollbars": 1,
      ...(colours === "forced" && forced),
    },
  });
  const page = await b.newPage(); // the first one's window has no focus to give, in Firefox
  await page.setViewport({ width: 360, height: 740, hasTouch: true });
  return {
    go: ({ url }) => page.goto(url, { waitUntil: "load" }).then(() => null),
    reload: () => page.reload().then(() => null),
    size: ({ width, height }) => page.setViewport({ width, height, hasTouch: true }),
    eval: ({ js }) => page.evaluate(js),
    tap: ({ x, y }) => page.touchscreen.tap(x, y),
    type: ({ text }) => page.keyboard.type(text),
    file: async ({ selector, path }) => (await page.$(selector)).uploadFile(path),
    print: async () =>
      Buffer.from(await page.pdf({ format: "letter", preferCSSPageSize: true })).toString("base64"),
    picture: () => page.screenshot({ encoding: "base64" }),
    close: () => b.close(),
  };
}

async function webkit() {
  const port = 20_000 + (process.pid % 20_000);
  const driver = spawn("WebKitWebDriver", [`--port=${port}`], { stdio: "ignore" });
  const caps = new Capabilities({
    browserName: "MiniBrowser",
    "webkitgtk:browserOptions": {
      binary: executable,
      args: ["-m", new URL("webkit.js", import.meta.url).pathname, profile],
    },
  });
  const ready = async () => (await fetch(`http://127.0.0.1:${port}/status`)).ok;
  while (!(await ready().catch(() => false))) await new Promise((go) => setTimeout(go, 50));
  const d = await new Builder()
    .usingServer(`http://127.0.0.1:${port}/`)
    .forBrowser(Browser.SAFARI)
    .withCapabilities(caps)
    .build();
  await d.manage().window().setRect({ width: 360, height: 800 });
  // Not by eval, which the page's policy does not allow.
  const evaluate = async (js) => {
    const { v, e } = await d.executeAsyncScript(
      `const done = arguments[0]; Promise.resolve(${js}).then((v) => done({ v }), (e) => done({ e: String(e) }));`,
    );
    if (e) throw new Error(e);
    return v;
  };
  return {
    go: ({ url }) => d.get(url),
    reload: () => d.navigate().refresh(),
    size: async ({ width, height }) => {
      const asked = await evaluate("[outerWidth - innerWidth, outerHeight - innerHeight]");
      await d
        .manage()
        .window()
        .setRect({ width: width + asked[0], height: height + asked[1] });
    },
    eval: ({ js }) => evaluate(js),
    tap: ({ x, y }) =>
      d
        .actions()
        .move({ x: Math.round(x), y: Math.round(y), origin: Origin.VIEWPORT })
        .click()
        .perform(),
    type: ({ text }) => d.actions().sendKeys(text).perform(),
    file: ({ selector, path }) => d.findElement(By.css(selector)).sendKeys(path),
    print: async () => {
      const path = `${profile}/page.pdf`;
      await evaluate(`webkit.messageHandlers.print.postMessage(${JSON.stringify(path)}).then(() => true)`);
      return (await readFile(path)).toString("base64");
    },
    picture: () => d.takeScreenshot(),
    close: async () => {
      await d.quit().catch(() => undefined);
      driver.kill();
    },
  };
}

const hand = await (engine === "webkit" ? webkit() : bidi(engine));
process.stdout.write('{"ready":true}\n');
for await (const line of createInterface({ input: process.stdin })) {
  const { do: what, ...given } = JSON.parse(line);
  const answer = await Promise.resolve(hand[what](given)).then(
    (value) => ({ value: value ?? null }),
    (err) => ({ error: String(err?.message ?? err) }),
  );
  process.stdout.write(JSON.stringify(answer) + "\n");
}
// Whoever asked has gone: no browser is left behind.
await hand.close();
