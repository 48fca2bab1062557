// What the oldest browsers that the app runs in have, by the compatibility data that npm carries.
import { createRequire } from "node:module";

const load = createRequire(import.meta.url);
export const bcd = load("@mdn/browser-compat-data");

/** The phone's browser is as old as the desk's. */
const alike = {
  chrome: ["chrome", "chrome_android"],
  firefox: ["firefox", "firefox_android"],
  ios_saf: ["safari_ios"],
  safari: ["safari"],
};

const floor = load("./oldest.json").flatMap(({ name, version }) =>
  alike[name].map((browser) => ({ browser, version })),
);

const newer = (a, b) => {
  const [x, y] = [a, b].map((v) => v.split(".").map(Number));
  for (let i = 0; i < Math.max(x.length, y.length); i++)
    if ((x[i] ?? 0) !== (y[i] ?? 0)) return (x[i] ?? 0) > (y[i] ?? 0);
  return false;
};

const has = (statement, version, prefixed) =>
  typeof statement.version_added === "string" &&
  statement.version_added !== "preview" &&
  !newer(statement.version_added.replace("≤", ""), version) &&
  !(typeof statement.version_removed === "string" && !newer(statement.version_removed, version)) &&
  !statement.flags &&
  (prefixed || !statement.prefix) &&
  !statement.alternative_name;

/**
 * Browsers of the floor that have not what an entry of the data describes, with the version that has
 * it; prefixed is whether it stands there with its prefix too.
 */
export function lacking(entry, prefixed = false) {
  const support = entry?.__compat?.support;
  if (!support) return [];
  return floor.flatMap(({ browser, version }) => {
    const all = [support[browser] ?? []].flat();
    if (all.length === 0 || all.some((s) => has(s, version, prefixed))) return [];
    return [`${browser} ${version} (${all[0].version_added || "never"})`];
  });
}

/** What the app uses where it is there, by its path in the data, with what is done where it is not. */
export const guarded = load("./guarded.json");
