import type { Bridge } from "../engine/bridge";
import { Finder } from "../records/finder";
import type { Repository } from "../records/repository";

let one: { repo: Repository; finder: Finder } | undefined;

/** The one index of this window; it is filled again after a restart of the worker. */
export function finderOf(repo: Repository, bridge: Bridge): Finder {
  if (one?.repo !== repo) {
    const finder = new Finder(repo);
    one = { repo, finder };
    bridge.onState((s) => s === "restarting" && finder.forget());
  }
  return one.finder;
}
