/** What several drawings put beside a section: a result in bold under its name. */
import { bareOf, type Pad } from "./pad";
import type { Reader } from "./read";

/** A name over its figure; false where the answer has none. */
export function figure(
  p: Pad,
  r: Reader,
  key: string,
  name: string,
  [x, y]: readonly [number, number],
  a: "start" | "middle" | "end" = "start",
  room = 92,
  k = "d-name",
): boolean {
  const size = p.faint ? "" : bareOf(r.t(key));
  if (!size) return false;
  p.put(x, y - 3, name, k, a);
  p.bold(size, x, y + 15, room, a);
  p.tell(`${name} ${r.t(key)}`);
  return true;
}

/** Whether it cannot be done: then it is drawn where it is wrong. */
export const stopped = (p: Pad, r: Reader): boolean => !p.faint && r.answer.mark === "stop";
