// The sync status in plain words. Pure: facts in, words out.
import type { WallKind } from "./connection";

export interface Trouble {
  /** What happened and what to do, in a sentence or two. */
  text: string;
  /** Id of the record it concerns, when it is one record. */
  id?: string;
  /** The kind of connection error, when it is one. */
  wall?: WallKind;
}

export interface SyncState {
  /**
   * phone: the office was never reached; waiting: some are not there yet; office: all are there.
   */
  kind: "phone" | "waiting" | "office";
  /** 'on this phone only', '3 waiting', 'at the office 10:42'. */
  words: string;
  /**
   * Records and changes made here that the office has not confirmed. Exact, also after a reload.
   */
  waiting: number;
  /** Whether the office answers at this moment. */
  connected: boolean;
  /** Whether records are being transferred at this moment. */
  moving: boolean;
  /** When the office last confirmed everything; milliseconds since 1970, undefined if never. */
  confirmed: number | undefined;
  /**
   * Refused records and the connection error; empty while all is well or the office is merely
   * unreachable.
   */
  trouble: Trouble[];
  /** A notice that needs no action: the office was restored and everything is compared anew. */
  note?: string;
}

/** What the words are made from. */
export interface Facts {
  waiting: number;
  connected: boolean;
  moving: boolean;
  confirmed: number | undefined;
  refused: Trouble[];
  /** The connection error as a sentence; "" while the office is merely unreachable. */
  barrier: string;
  wall?: WallKind;
  /** When this device met another store than before, and when all was compared with it. */
  anew?: { since: number; done?: number } | undefined;
}

export const atStart: Facts = {
  waiting: 0,
  connected: false,
  moving: false,
  confirmed: undefined,
  refused: [],
  barrier: "",
};

/** Puts the facts into words, as of a moment in this device's own time zone. */
export function sayState(facts: Facts, now: Date): SyncState {
  const { waiting, connected, moving, confirmed } = facts;
  const trouble = [...facts.refused];
  if (facts.barrier) {
    trouble.push({ text: facts.barrier, ...(facts.wall && { wall: facts.wall }) });
  }
  const note = sayAnew(facts.anew, now);
  const said = { waiting, connected, moving, confirmed, trouble, ...(note && { note }) };
  if (confirmed === undefined) {
    return { ...said, kind: "phone", words: "on this phone only" };
  }
  if (waiting > 0) {
    return { ...said, kind: "waiting", words: `${waiting} waiting` };
  }
  return { ...said, kind: "office", words: `at the office ${clock(new Date(confirmed), now)}` };
}

/** What a restored or replaced office means for this device; shown for a week after it is done. */
function sayAnew(anew: Facts["anew"], now: Date): string {
  if (!anew) {
    return "";
  }
  const met = "The office's records were put back from a backup, or are a new set";
  if (anew.done === undefined) {
    return `${met}. Everything on this device is being compared with them, and what they lack is sent again.`;
  }
  return now.getTime() - anew.done > 7 * 24 * 3600_000
    ? ""
    : `${met}. At ${clock(new Date(anew.done), now)} everything on this device had been compared with them, and what they lacked was sent again.`;
}

const months = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/** '10:42' for today, '3 Mar 10:42' for another day, with the year where it is another one. */
export function clock(then: Date, now: Date): string {
  const time = `${two(then.getHours())}:${two(then.getMinutes())}`;
  if (then.toDateString() === now.toDateString()) {
    return time;
  }
  const day = `${then.getDate()} ${months[then.getMonth()]}`;
  return then.getFullYear() === now.getFullYear() ? `${day} ${time}` : `${day} ${then.getFullYear()} ${time}`;
}

function two(n: number): string {
  return String(n).padStart(2, "0");
}
