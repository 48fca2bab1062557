// What TestAccess asks of a page. It is put into the page beside axe-core and returns plain lists,
// empty where all is well.
(() => {
  const access = (window.datumbookAccess = {});
  const seen = (el) =>
    el.checkVisibility({ checkVisibilityCSS: true, contentVisibilityAuto: true }) &&
    el.getBoundingClientRect().width > 0 &&
    el.getBoundingClientRect().height > 0;

  // When the page last changed, so that a test can wait until it is still.
  let moved = performance.now();
  new MutationObserver(() => (moved = performance.now())).observe(document.documentElement, {
    subtree: true,
    childList: true,
    characterData: true,
    attributes: true,
  });
  /**
   * Whether the page is complete: nothing loading, pictures drawn, and nothing moved since `still`
   * ms.
   */
  access.still = (still) => {
    const main = document.querySelector("main");
    const waits = [...document.querySelectorAll(".blank.loading, .drawing-wait, .thumb-wait")].some(seen);
    const pictures = [...document.images].every((i) => i.complete);
    return !!main?.firstElementChild && !waits && pictures && performance.now() - moved >= still;
  };

  const frame = () => new Promise((done) => requestAnimationFrame(done));
  /** Waits until a condition is true, checked at every frame. */
  access.wait = async (what, asked) => {
    for (const end = performance.now() + 90_000; !asked(); await frame())
      if (performance.now() > end) throw new Error(`waited 90 s for ${what}; the page shows: ${document.body.innerText}`);
  };
  /** Waits for a page to be still, and to show what a selector finds. */
  access.settle = async (until) => {
    await frame();
    await frame();
    await access.wait(until || "the page", () => access.still(60) && (!until || document.querySelector(until)));
  };
  /** Goes to an address of the app. */
  access.go = async (hash, until) => {
    if (location.hash !== hash) {
      const there = new Promise((done) => addEventListener("hashchange", done, { once: true }));
      location.hash = hash;
      await there;
    }
    await access.settle(until);
  };

  /** A short selector for an element, to find it again. */
  const path = (el) => {
    const parts = [];
    for (let e = el; e && e !== document.body && parts.length < 4; e = e.parentElement) {
      const name = typeof e.className === "string" ? e.className : "";
      parts.unshift(e.localName + (e.id ? `#${e.id}` : name ? `.${name.trim().split(/\s+/).join(".")}` : ""));
      if (e.id) break;
    }
    const says = (el.getAttribute("aria-label") || el.textContent || el.value || "").trim().replace(/\s+/g, " ");
    return `${parts.join(" > ")} "${says.slice(0, 40)}"`;
  };

  // Everything that can be touched. A tick or a choice counts with its label.
  const touchable =
    'a[href], button, input:not([type="hidden"]), select, textarea, summary, label:has(input, select), ' +
    '[role="button"], [role="link"], [role="checkbox"], [role="radio"], [role="switch"], [role="tab"], ' +
    '[contenteditable="true"]';
  const targets = () => {
    const scope = document.querySelector("dialog[open]") ?? document.body;
    const all = new Set();
    for (const el of scope.querySelectorAll(touchable)) {
      if (!seen(el)) continue;
      const label = el.matches("input") ? el.closest("label") : undefined;
      all.add(label ?? el);
    }
    return [...all];
  };
  /**
   * A link among the words of a sentence, which WCAG 2.2 lets be as high as its line (2.5.8,
   * "inline").
   */
  const inSentence = (el) => {
    if (!el.matches("a[href]") || getComputedStyle(el).display !== "inline") return false;
    const rest = el.parentElement.cloneNode(true);
    for (const a of rest.querySelectorAll("a, button")) a.remove();
    return rest.textContent.trim().length > 1;
  };

  /**
   * Targets that are smaller than `least` both ways, in CSS px as laid out; and those that lie over
   * each other.
   */
  access.targets = (least, sentences) => {
    const out = [];
    const all = targets().filter((el) => !(sentences && inSentence(el)));
    const boxes = all.map((el) => el.getBoundingClientRect());
    all.forEach((el, i) => {
      const { width, height } = boxes[i];
      // Half a hundredth of a pixel is what layout in 64ths may round away.
      if (width < least - 0.02 || height < least - 0.02)
        out.push(`${Math.round(width * 10) / 10} x ${Math.round(height * 10) / 10}: ${path(el)}`);
    });
    for (const el of all) {
      for (const box of [el, ...el.querySelectorAll("span")]) {
        const over = box.scrollWidth - box.clientWidth;
        if (!box.matches("input, textarea, select, .unseen") && box.clientWidth > 0 && over > 1)
          if (getComputedStyle(box).overflowX === "visible") out.push(`words stand ${over} px out of ${path(box)}`);
      }
    }
    const layer = (el) => el.closest(".top, .first, .bar, .page-foot, .keypad, .said-place, .skip, dialog") ?? null;
    for (let i = 0; i < all.length; i++) {
      for (let j = i + 1; j < all.length; j++) {
        const [a, b] = [boxes[i], boxes[j]];
        if (a.bottom <= b.top + 1 || b.bottom <= a.top + 1 || a.right <= b.left + 1 || b.right <= a.left + 1) continue;
        if (all[i].contains(all[j]) || all[j].contains(all[i]) || layer(all[i]) !== layer(all[j])) continue;
        out.push(`over each other: ${path(all[i])} and ${path(all[j])}`);
      }
    }
    return { count: all.length, faults: out };
  };

  /** Opens all folded parts. */
  access.unfold = async () => {
    for (const d of document.querySelectorAll("details")) d.open = true;
    await frame();
    await frame();
  };

  // The stricter contrast rule, which is off by default in axe-core, includes the laxer one. Target
  // sizes are measured here, for every one and without the exception for those with room around
  // them.
  const axeSays = async (contrast) => {
    const rules = { "color-contrast": { enabled: false }, "color-contrast-enhanced": { enabled: contrast } };
    const report = await axe.run(document, { resultTypes: ["violations"], preload: false, rules });
    return report.violations.flatMap((v) =>
      v.nodes.map(
        (n) => `${v.id}: ${n.target.join(" ")}: ${[...n.any, ...n.all, ...n.none].map((c) => c.message).join("; ")}`,
      ),
    );
  };
  // WCAG 2.2, 1.4.6 at its strictest, for words on the nearest ground: what axe-core does with more
  // care and in twenty times the time. Drawings are left to test/screens.test.ts, which knows what
  // lies on what.
  const rgba = (text) => (text.match(/[\d.]+/g) ?? []).map(Number);
  const luminance = ([r, g, b]) => {
    const [x, y, z] = [r, g, b].map((v) => (v / 255 <= 0.04045 ? v / 255 / 12.92 : ((v / 255 + 0.055) / 1.055) ** 2.4));
    return 0.2126 * x + 0.7152 * y + 0.0722 * z;
  };
  const groundOf = (el) => {
    for (let e = el; e; e = e.parentElement) {
      const style = getComputedStyle(e);
      if (Number(style.opacity) < 1) return undefined; // what fades is a superseded answer
      const [r, g, b, alpha = 1] = rgba(style.backgroundColor);
      if (alpha === 1 && style.backgroundColor !== "transparent") return [r, g, b];
    }
    return [255, 255, 255];
  };
  access.contrast = () => {
    const out = [];
    for (const el of document.body.querySelectorAll("*")) {
      const says = [...el.childNodes].some((n) => n.nodeType === Node.TEXT_NODE && n.data.trim() !== "");
      if (!says || el.closest("svg, .unseen") || !seen(el)) continue;
      const ground = groundOf(el);
      if (!ground) continue;
      const [a, b] = [luminance(rgba(getComputedStyle(el).color)), luminance(ground)].sort((x, y) => x - y);
      const ratio = (b + 0.05) / (a + 0.05);
      if (ratio < 7) out.push(`contrast of ${Math.round(ratio * 100) / 100}: ${path(el)}`);
    }
    return out;
  };

  /**
   * In colours of the user's own boxes and keys have an edge, what is chosen has the colour of a choice,
   * and drawings are drawn in theirs.
   */
  access.forced = async (axe) => {
    const probe = document.body.appendChild(document.createElement("i"));
    const colour = (name) => ((probe.style.cssText = `forced-color-adjust: none; color: ${name}`), getComputedStyle(probe).color);
    const [ground, chosen, ...drawn] = ["Canvas", "Highlight", "CanvasText", "LinkText", "Highlight"].map(colour);
    probe.remove();
    const out = [];
    const each = (what, wrong) => {
      for (const e of document.querySelectorAll(what)) if (seen(e) && wrong(getComputedStyle(e))) out.push(path(e));
    };
    each(".bx:not(.bx-worked) input, .key, .chip, .button, .hand, .field input", (s) =>
      parseFloat(s.borderTopWidth) < 1 || s.borderTopColor === ground);
    each(".choices [aria-pressed=true], .key.go, .page-foot .go:not(:disabled, [aria-disabled]), .bx input:focus", (s) =>
      s.backgroundColor !== chosen);
    each(".drawing .d-line, .drawing .d-part", (s) => s.stroke !== "none" && !drawn.includes(s.stroke));
    if (axe) out.push(...(await axeSays(false)));
    return out;
  };

  /** What is touched where the screen has to be kept free, as under a notch. */
  access.free = () => {
    const style = getComputedStyle(document.documentElement);
    const [left, right] = ["--sl", "--sr"].map((name) => parseFloat(style.getPropertyValue(name)));
    const pushed = (el) => el && (/auto|scroll/.test(getComputedStyle(el).overflowX) || pushed(el.parentElement));
    return targets().flatMap((el) => {
      const box = el.getBoundingClientRect();
      const out = box.left < left - 0.5 || box.right > innerWidth - right + 0.5;
      const away = el.closest(".top")?.offsetHeight === 1; // it gives way to the answer
      return out && !away && !pushed(el.parentElement) ? [`under the notch: ${path(el)}`] : [];
    });
  };

  /** What makes the page wider than the screen. */
  access.wide = () => {
    const { clientWidth: wide, scrollWidth } = document.documentElement;
    if (scrollWidth <= wide) return [];
    const by = [...document.querySelectorAll("body *")].filter((e) => e.getBoundingClientRect().right > wide + 0.5).at(-1);
    return [`the page stands ${scrollWidth - wide} px out of the screen, by ${by ? path(by) : "its frame"}`];
  };

  /** With text twice as large nothing is wider than the screen, and no words stand out of their key. */
  access.large = async (axe) => {
    const root = document.documentElement;
    root.style.fontSize = "200%";
    dispatchEvent(new Event("resize"));
    for (let n = 0; n < 3; n++) await frame();
    const faults = access.targets(0, true).faults.filter((fault) => fault.startsWith("words"));
    faults.push(...access.wide(), ...(axe ? await axeSays(false) : []));
    root.style.fontSize = "";
    dispatchEvent(new Event("resize"));
    return faults;
  };

  /**
   * Holds the screen against the rules: contrast in both themes; axe-core's in the theme `axe`, if one
   * is named, its own rule of contrast among them where asked; and the size of what can be touched,
   * with bare hands and in gloves where asked.
   */
  // Gloves change more than sizes: the app is told as another window of it would tell.
  const wear = async (on) => {
    const key = "datumbook.prefs";
    const was = JSON.parse(localStorage[key] ?? "{}");
    localStorage[key] = JSON.stringify({ ...was, glove: on });
    dispatchEvent(new StorageEvent("storage", { key }));
    for (let i = 0; i < 3; i++) await frame();
  };

  /** The same in gloves alone, as on a screen of another size. */
  access.worn = async (least, axe) => {
    const was = document.documentElement.dataset.glove === "yes";
    await wear(true);
    const faults = [...access.targets(least, false).faults, ...access.wide(), ...access.free(), ...(axe ? await axeSays(false) : [])];
    await wear(was);
    return faults;
  };

  access.look = async ({ axe, contrast, bare, glove, asGlove }) => {
    const root = document.documentElement.dataset;
    const before = { ...root };
    const out = { faults: {}, touched: 0 };
    root.glove = asGlove ? "yes" : "no";
    for (root.look of ["bright", "dim"]) {
      out.faults[root.look] = access.contrast();
      if (axe.includes(root.look)) out.faults[root.look].push(...(await axeSays(contrast)));
    }
    const measure = (name, least, sentences) => {
      const { count, faults } = access.targets(least, sentences);
      out.touched += count;
      out.faults[name] = [...faults, ...access.wide()];
    };
    if (bare) measure("bare hands", bare, true);
    if (glove) {
      await wear(true);
      measure("gloves", glove, false);
      await wear(before.glove === "yes");
    }
    Object.assign(root, before);
    return out;
  };
})();
true;
