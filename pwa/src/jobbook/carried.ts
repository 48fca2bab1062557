// A record that was made or chosen on the way, for the screen that wanted it: that takes it up when
// it is shown again.
import type { Rec } from "../records/fields";
import { goUp } from "../screen/here";
import { inPocket, putInPocket } from "../screen/pocket";

const KEY = "datumbook.brought";

/** For what it was wanted, and which record it is. */
interface Brought {
  back: string;
  into: string;
  id: string;
}

type Made = Pick<Rec, "id" | "kind">;

/** Notes what was made for the screen at `back`: for its field `into`, else for its kind. */
export function bring({ back, into }: Record<string, string>, rec: Made): void {
  if (back) putInPocket(KEY, { back, into: into ?? rec.kind, id: rec.id } satisfies Brought);
}

/** Notes it and goes back there. */
export function bringBack(more: Record<string, string>, rec: Made): void {
  bring(more, rec);
  goUp(more["back"]!);
}

/** What was brought to the screen that is shown now, once. */
export function brought(): Brought | undefined {
  const got = Object(inPocket(KEY)) as Partial<Brought>;
  if (got.back !== location.hash || !got.into || !got.id) return undefined;
  putInPocket(KEY, null);
  return got as Brought;
}
