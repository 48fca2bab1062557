// Imports between the front end's folders run one way, and no file is part of an import cycle, so
// that a folder can be read by itself and nothing imported lazily gets into the first paint.
import assert from "node:assert/strict";
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { dirname, join, normalize, relative } from "node:path";
import { test } from "node:test";

/** Order of the folders: each imports only from those before it. */
const order =
  "text engine storage sync records ui screen form drawing worksheet page jobbook print start office app".split(
    " ",
  );

/** Each file with what it imports, types too. */
type Graph = Map<string, string[]>;

const importing =
  /(?:^|\n)(?:import|export)\s[^;"]*?from\s+"(\.[^"]+)"|\bimport\("(\.[^"]+)"\)|\nimport "(\.[^"]+)"/g;

function read(root: string): Graph {
  const names = readdirSync(root, { recursive: true, encoding: "utf8" }).filter((f) => /\.tsx?$/.test(f));
  return new Map(
    names.map((name) => {
      const text = "\n" + readFileSync(join(root, name), "utf8");
      const targets = [...text.matchAll(importing)].flatMap((m) => {
        const at = normalize(join(dirname(join(root, name)), (m[1] ?? m[2] ?? m[3])!));
        const file = [
          at,
          `${at}.ts`,
          `${at}.tsx`,
          `${at}.d.ts`,
          join(at, "index.ts"),
          join(at, "index.tsx"),
        ].find((f) => /\.\w+$/.test(f) && existsSync(f));
        assert.ok(file, `${name} imports ${at}, which is not there`);
        return /\.tsx?$/.test(file) ? [relative(root, file)] : [];
      });
      return [name, targets];
    }),
  );
}

const folder = (file: string): string => file.split("/")[0]!;

/** Imports from a folder that comes later, and from one that the order does not know. */
function backward(g: Graph): string[] {
  return [...g].flatMap(([from, targets]) =>
    targets
      .filter((to) => {
        const [a, b] = [order.indexOf(folder(from)), order.indexOf(folder(to))];
        return a < 0 || b < 0 || a < b;
      })
      .map((to) => `${from} imports ${to}`),
  );
}

/** The files of one import cycle, or none. */
function circle(g: Graph): string[] {
  const done = new Set<string>();
  const walk = (file: string, path: string[]): string[] => {
    const at = path.indexOf(file);
    if (at >= 0) return path.slice(at);
    if (done.has(file)) return [];
    for (const to of g.get(file) ?? []) {
      const found = walk(to, [...path, file]);
      if (found.length > 0) return found;
    }
    done.add(file);
    return [];
  };
  for (const file of g.keys()) {
    const found = walk(file, []);
    if (found.length > 0) return found;
  }
  return [];
}

test("imports run one way", () => {
  const g = read(join(process.cwd(), "src"));
  assert.ok(g.size > 100, `only ${g.size} files were read`);
  assert.deepEqual(backward(g), []);
  assert.deepEqual(circle(g), []);
});

test("a planted circle and a planted way back are found", () => {
  const g: Graph = new Map([
    ["form/field.tsx", ["text/words.ts"]],
    ["form/rows.tsx", ["form/field.tsx"]],
    ["text/words.ts", []],
  ]);
  assert.deepEqual([backward(g), circle(g)], [[], []]);
  g.set("text/words.ts", ["form/rows.tsx"]);
  assert.deepEqual(backward(g), ["text/words.ts imports form/rows.tsx"]);
  assert.deepEqual(circle(g), ["form/field.tsx", "text/words.ts", "form/rows.tsx"]);
});
