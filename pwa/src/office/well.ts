// What of the office is not well: the one thing that is said first, worst first.
import type { DeviceView } from "../sync/office";
import { O } from "../text/office";

export interface Known {
  devices: readonly DeviceView[];
  /** Records that the rules object to, and those that were refused. */
  look: number;
  /** Pictures that a record names and nobody has brought. */
  lost: number;
  /** Copies elsewhere that are not kept up. */
  copies: number;
  /** Until when the office's certificate is good; "" where it has none. */
  until: string;
  now: number;
}

export interface Well {
  level: "good" | "caution" | "refuse";
  says: string;
  line: string;
  /** The part of the page where it is cured. */
  at: string;
}

const day = 24 * 3600_000;
/** A device that is used is seen within so many days. */
const SILENT = 7;
/** So long before its end a certificate is told of. */
const SOON = 30;

export function wellOf({ devices, look, lost, copies, until, now }: Known): Well {
  const live = devices.filter((d) => !d.revoked);
  const left = until ? Math.floor((Date.parse(until) - now) / day) : SOON + 1;
  const silent = live
    .flatMap((d) => (d.seen ? [{ name: d.name, days: Math.floor((now - Date.parse(d.seen)) / day) }] : []))
    .sort((a, b) => b.days - a.days)[0];
  const line = O.well.line(live.length);
  if (look > 0) return { level: "refuse", says: O.well.look(look), line, at: "look" };
  if (left < 0) return { level: "refuse", says: O.well.over, line, at: "addresses" };
  if (lost > 0) return { level: "caution", says: O.well.lost(lost), line, at: "look" };
  if (copies > 0) return { level: "caution", says: O.well.copies(copies), line, at: "copies" };
  if (silent && silent.days >= SILENT)
    return { level: "caution", says: O.well.silent(silent.name, silent.days), line, at: "devices" };
  if (left <= SOON) return { level: "caution", says: O.well.soon(left), line, at: "addresses" };
  if (live.length < 2) return { level: "caution", says: O.well.alone, line, at: "let-in" };
  return { level: "good", says: O.well.good, line, at: "devices" };
}
