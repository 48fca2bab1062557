/**
 * Which keys stand where. Pure: kind of field, its units, what is offered, form of the pad and hand
 * in, pages of keys out.
 */

export type Act =
  | { do: "type"; text: string }
  /** Puts a word or a size lately used in place of all, and goes on as Next does. */
  | { do: "offer"; text: string }
  | { do: "unit"; name: string }
  /** The next of these units, after the last none. */
  | { do: "units"; names: readonly string[] }
  | { do: "series"; name: string }
  | { do: "fit"; name: string }
  | { do: "back" | "undo" | "clear" | "sign" | "half" | "next" | "close" | "same" | "place" }
  | { do: "page"; to: string };

export interface Key {
  /** Stable name, for tests and for telling double hits. */
  id: string;
  label: string;
  act: Act;
  /** How many columns it takes. */
  wide?: number;
  face?: "digit" | "mark" | "tool" | "go" | "offer";
}

export interface Page {
  name: string;
  /** Beside what is typed; Close comes after them. */
  head: Key[];
  columns: number;
  /** A row of lower keys over the others. */
  strip: Key[];
  rows: Key[][];
}

/**
 * - five: upright with bare hands, five columns at the foot of the screen;
 * - side: a low screen with bare hands, at the hand's side;
 * - three: upright in gloves, or with text too large for five columns;
 * - low: a low screen in gloves, three rows.
 */
export type Form = "five" | "side" | "three" | "low";

export type Hand = "right" | "left";

export interface Offers {
  /** Words that stand for a number: what is put in, and what the key says. */
  words: readonly { key: string; label: string }[];
  /** Sizes lately used, the last first. */
  sizes: readonly string[];
  /** A reading may be taken at another place than those that are shown. */
  places?: boolean;
}

export const NUMERIC = new Set(
  (
    "length reading angle count number percent thread drill list table force torque mass speed feed power stress " +
    "temperature area volume density spin time slope removal expansion"
  ).split(" "),
);

/** Which keys a kind of field has, by name, and where they stand. */
interface Kit {
  /** The column beside the digits. */
  marks: string;
  /** The column at the edge, under Rub out. */
  tools: string;
  /** What stands behind a key. */
  more: string;
  /** On a low screen: under Rub out. */
  edge: string;
  /** In gloves: on both sides of the nought. */
  zero: string;
}

// "units" turns through the two units of a field; "third" and "rest" are those that a length may
// have besides.
const PLAIN: Kit = { marks: "/ - sign", tools: "units clear", more: "+ undo", edge: "/ sign", zero: ". /" };
const KITS: Record<string, Kit> = {
  length: {
    marks: "third / -",
    tools: "units sign",
    more: "+ # half clear undo rest",
    edge: "/ -",
    zero: ". /",
  },
  thread: {
    marks: "/ - x",
    tools: "# M",
    more: "UNC UNF UNEF 2B 3B UN 6H clear undo",
    edge: "/ -",
    zero: "/ -",
  },
  drill: { marks: "/ - #", tools: "units letters", more: "third clear undo rest", edge: "/ #", zero: ". /" },
  reading: { marks: "sign half units", tools: "same undo", more: "", edge: "half sign", zero: ". sign" },
  placed: { marks: "sign half place", tools: "same undo", more: "units", edge: "half sign", zero: ". sign" },
  angle: { marks: `° ' "`, tools: "sign clear", more: "undo", edge: "° sign", zero: ". °" },
  count: { marks: "", tools: "undo clear", more: "", edge: "undo clear", zero: "" },
  percent: { marks: "sign", tools: "undo clear", more: "", edge: "sign clear", zero: ". sign" },
  temperature: { marks: "sign units", tools: "undo clear", more: "", edge: "sign units", zero: ". sign" },
  slope: { marks: "/ : sign", tools: "units clear", more: "undo", edge: "/ sign", zero: ". /" },
};

const t = (text: string): Key => ({
  id: text,
  label: text === "-" ? "–" : text,
  act: { do: "type", text },
  face: /^\d$/.test(text) ? "digit" : "mark",
});
const tool = (id: string, label: string, act: Act): Key => ({ id, label, act, face: "tool" });
const u = (name: string): Key => tool(`unit ${name}`, name, { do: "unit", name });
const s = (name: string): Key => tool(`series ${name}`, name, { do: "series", name });
const f = (name: string): Key => tool(`fit ${name}`, name, { do: "fit", name });
const page = (to: string, label = to): Key => tool(`page ${to}`, label, { do: "page", to });
const offer = (of: "word" | "size", text: string, label = text): Key => ({
  id: `${of} ${text}`,
  label,
  act: { do: "offer", text },
  face: "offer",
});
const digits = (of: string): Key[] => [...of].map(t);

const BACK = tool("back", "⌫", { do: "back" });
const NEXT: Key = { id: "next", label: "Next", act: { do: "next" }, face: "go" };
const CLOSE = tool("close", "close", { do: "close" });
const NAMED: Record<string, Key> = {
  sign: { id: "sign", label: "+/–", act: { do: "sign" }, face: "mark" },
  half: { id: "half", label: "½", act: { do: "half" }, face: "mark" },
  same: tool("same", "same again", { do: "same" }),
  place: tool("place", "other place", { do: "place" }),
  undo: tool("undo", "undo", { do: "undo" }),
  clear: tool("clear", "clear", { do: "clear" }),
  letters: page("A–Z"),
};
const LETTERS = [..."ABCDEFGHIJKLMNOPQRSTUVWXYZ"].map(t);
const FIRST = "123";
const SIZES = "sizes";
const MORE = "more";

/**
 * Units offered for a kind: those of the worksheet's own description, for lengths the shop's three.
 */
export function unitsFor(kind: string, units: Record<string, string> = {}): string[] {
  const own = [units["in"], units["mm"]].filter((x): x is string => !!x && x !== "%");
  if (kind === "length" || kind === "drill") return [...new Set([...own, "in", "mm", "thou"])];
  if (kind === "reading") return [...new Set([...own, "thou", "mm", "in"])];
  return [...new Set(own)];
}

/** Gives keys by their names; none for a unit that the field has not. */
const naming =
  ([one, two, third, ...rest]: readonly string[], kind: string) =>
  (names: string): Key[] =>
    names
      .split(" ")
      .filter(Boolean)
      .flatMap((name): Key[] => {
        if (name === "units") {
          if (!one || !two) return [];
          const names = third && kind === "reading" ? [one, two, third] : [one, two];
          return [tool("units", `${one} · ${two}`, { do: "units", names })];
        }
        if (name === "third") return third ? [u(third)] : [];
        if (name === "rest") return rest.map(u);
        if (name.startsWith("UN")) return [s(name)];
        return [NAMED[name] ?? (/^\d[A-Z]$/.test(name) ? f(name) : t(name))];
      });

/** In parts of at most so many. */
function parts(keys: readonly Key[], most: number): Key[][] {
  const out: Key[][] = [];
  for (let i = 0; i < keys.length; i += most) out.push(keys.slice(i, i + most));
  return out;
}

/** In parts alike, of at most so many. */
const evenly = (keys: readonly Key[], most: number): Key[][] =>
  parts(keys, Math.ceil(keys.length / Math.ceil(keys.length / most)));

/** A row of so many columns: its last key grows to fill it. */
function row(keys: readonly (Key | undefined)[], columns: number): Key[] {
  const there = keys.filter((k): k is Key => !!k);
  const last = there.pop();
  if (!last) return [];
  const room = columns - there.reduce((n, k) => n + (k.wide ?? 1), 0);
  return [...there, room > 1 ? { ...last, wide: room } : last];
}

const ids = (of: readonly Key[]): string[] => of.map((k) => k.id);
const once = (keys: readonly Key[]): Key[] => keys.filter((k, i) => ids(keys).indexOf(k.id) === i);
const without = (keys: readonly Key[], those: readonly Key[]): Key[] =>
  keys.filter((k) => !ids(those).includes(k.id));

/** What a key that turns to other keys says: the first two of them. */
const hint = (keys: readonly Key[]): string =>
  keys
    .slice(0, 2)
    .map((k) => k.label)
    .join(" ");

/** What a form is laid out from. */
interface Field {
  kind: string;
  kit: Kit;
  keys: (names: string) => Key[];
  hand: Hand;
  /** Words and sizes, as many as a row has room for. */
  offers: Key[];
  /** A word alone has its place among the keys. */
  lone: boolean;
}

/** The other hand has the same keys from the other edge, and the digits in their order. */
const handed = (hand: Hand, fixed: Key[], others: Key[]): Key[] =>
  hand === "right" ? [...fixed, ...others] : [...others.reverse(), ...fixed];

/** Point and nought; the nought alone where there is no point. */
const foot = (kind: string): Key[] => (kind === "count" ? row([t("0")], 2) : [t("."), t("0")]);

/** Letters of drills: all on one page, so that one touch names a drill. */
function letters(hand: Hand): Page {
  const end = handed(hand, LETTERS.slice(24), [page(FIRST), BACK, ...row([NEXT], 2)]);
  const body = [...parts(LETTERS.slice(0, 24), 6), end];
  return { name: "A–Z", head: [], columns: 6, strip: [], rows: body };
}

/**
 * Digits on one side, then marks, and tools at the edge. What finds no place stands behind a key
 * beside Next that says what it brings; the digits stay where they are.
 */
function five({ kind, kit, keys, hand, offers, lone }: Field): Page[] {
  const [marks, tools] = [keys(kit.marks), keys(kit.tools)];
  const hidden = without(keys(kit.more), keys("undo")); // that has a key in the head
  if (lone) hidden.unshift(...tools.splice(1, 1, ...offers));
  if (tools.length < 2) tools.push(...hidden.splice(0, 2 - tools.length));
  const sides = hidden.length > 1 ? evenly(hidden, 5) : [];
  const names = [FIRST, ...sides.map(hint)];
  const pages = names.map((name, i): Page => {
    const mine = sides[i - 1];
    // The rows without Rub out first, so that none is empty.
    const [m, k] = mine ? [[mine[2], mine[0], mine[1]], mine.slice(3)] : [marks, tools];
    const to = (i + 1) % names.length;
    const turn = sides.length > 0 ? [page(names[to]!, to === 0 ? hint(marks) : names[to])] : hidden;
    const body = [
      handed(hand, digits("789"), row([m[0], BACK], 2)),
      handed(hand, digits("456"), row([m[1], k[0]], 2)),
      handed(hand, digits("123"), row([m[2], k[1]], 2)),
      handed(hand, foot(kind), [...turn, ...row([NEXT], 3 - turn.length)]),
    ];
    return {
      name,
      head: without(keys("undo"), body.flat()),
      columns: 5,
      strip: lone ? [] : offers,
      rows: body,
    };
  });
  return kind === "drill" ? [...pages, letters(hand)] : pages;
}

/** Digits, two keys and Next; all else in a strip over them, which turns. */
function side({ kind, kit, keys, hand, offers, lone }: Field): Page[] {
  const all = keys(`${kit.tools} ${kit.marks} ${kit.more} undo clear`);
  const first = kind === "length" ? [...keys("third units"), ...offers, ...keys("half sign")] : offers;
  const edge = keys(kit.edge);
  const others = without(once([...first, ...all]), edge);
  const strips = others.length > 0 ? parts(others, offers.length > 0 && !lone ? 4 : 5) : [[]];
  const body = [
    handed(hand, digits("789"), [BACK]),
    handed(hand, digits("456"), edge.slice(0, 1)),
    handed(hand, digits("123"), edge.slice(1)),
    handed(hand, foot(kind), row([NEXT], 2)),
  ];
  const names = strips.map((strip, i) => (i === 0 ? FIRST : hint(strip)));
  const pages = strips.map((strip, i): Page => {
    const turn = strips.length > 1 ? [page(names[(i + 1) % names.length]!, MORE)] : [];
    return { name: names[i]!, head: turn, columns: 4, strip, rows: body };
  });
  return kind === "drill" ? [...pages, letters(hand)] : pages;
}

/**
 * Gloves, or large text: three columns; at 360 px across each key is 120 px, 19 mm nominal. On a
 * low screen three rows of five. Sizes lately used are the first page.
 */
function large({ kind, kit, keys, hand, offers }: Field, form: "three" | "low"): Page[] {
  const [a, b] = keys(kit.zero);
  const all = keys(`${kit.marks} . ${kit.tools} third rest ${kit.more} undo`);
  const rest = without(
    once(kind === "count" ? without(all, [t(".")]) : all),
    [a, b, page("A–Z")].filter(isKey),
  );
  if (kind === "drill") rest.push(...LETTERS);
  const home = offers.length > 2 ? 1 : 0;
  // The page that it opens on, where that is of sizes, and each one behind the digits closes it.
  const turned = (home ? [offers.slice(0, 11), ...evenly(rest, 11)] : evenly([...offers, ...rest], 11)).map(
    (page) => [...page, CLOSE],
  );
  const names = turned.map((_, i) => (i < home ? SIZES : i === home ? MORE : `${MORE} ${i}`));
  names.splice(home, 0, FIRST);
  return names.map((name, i): Page => {
    const to = names[(i + 1) % names.length]!;
    const turn = page(to, to.replace(/ .*/, ""));
    const mine = turned[i < home ? i : i - 1];
    if (form === "three") {
      const zero = row(a ? [a, t("0"), b] : [t("0")], 3);
      const body =
        i === home
          ? [digits("789"), digits("456"), digits("123"), zero]
          : parts(mine!, 3).map((r) => row(r, 3));
      return { name, head: [], columns: 3, strip: [], rows: [...body, handed(hand, [], [turn, BACK, NEXT])] };
    }
    const body =
      i === home
        ? [row([...digits("789"), a], 4), row([...digits("456"), b], 4), row([...digits("123"), t("0")], 4)]
        : thirds(mine!, 4);
    const ends = [BACK, turn, NEXT];
    return { name, head: [], columns: 5, strip: [], rows: body.map((r, n) => handed(hand, r, [ends[n]!])) };
  });
}

const isKey = (k: Key | undefined): k is Key => !!k;

/** Three rows of three keys or more. */
function thirds(keys: readonly Key[], columns: number): Key[][] {
  const two = Math.ceil((keys.length * 2) / 3);
  const one = Math.ceil(two / 2);
  return [keys.slice(0, one), keys.slice(one, two), keys.slice(two)].map((r) => row(r, columns));
}

export function layout(
  kind: string,
  units: Record<string, string> | undefined,
  form: Form,
  hand: Hand,
  { words, sizes, places }: Offers = { words: [], sizes: [] },
): Page[] {
  const all = [...words.map((w) => offer("word", w.key, w.label)), ...sizes.map((x) => offer("size", x))];
  const upright = form === "five" ? (all.slice(0, 5).every((k) => k.label.length <= 6) ? 5 : 4) : 4;
  const of: Field = {
    kind,
    kit: KITS[places ? "placed" : kind] ?? PLAIN,
    keys: naming(unitsFor(kind, units), kind),
    hand,
    offers: all.slice(0, form === "three" || form === "low" ? 12 : upright),
    lone: kind === "length" && words.length === 1 && sizes.length === 0,
  };
  return form === "five" ? five(of) : form === "side" ? side(of) : large(of, form);
}

/** How many millimetres a key has in gloves, by 160 pixels to the inch, upright and on its side. */
export function gloveKeys(width: number, height: number): [upright: number, lying: number] {
  const [w, h] = [Math.min(width, height), Math.max(width, height)];
  const size = (...px: number[]) => Math.floor((Math.min(120, ...px) * 25.4) / 160);
  const three = (wide: number, high: number) => size((wide < 700 ? wide : 394) / 3, (high - 140) / 5);
  return [three(w, h), w < 480 ? size(Math.min(600, h - 140) / 5, w / 3) : three(h, w)];
}
