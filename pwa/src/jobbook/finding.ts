import type { Bridge } from "../engine/bridge";
import { Finder } from "../records/finder";
import type { Shelf } from "../records/repository";

let one: { shelf: Shelf; finder: Finder } | undefined;

/** The one index of this window; it is filled anew when the calculations were started anew. */
export function finderOf(shelf: Shelf, bridge: Bridge): Finder {
  if (one?.shelf !== shelf) {
    const finder = new Finder(shelf);
    one = { shelf, finder };
    bridge.onState((s) => s === "restarting" && finder.forget());
  }
  return one.finder;
}
