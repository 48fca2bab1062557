// The sync status in plain words. Pure: facts in, words out.
import { E } from "../text/exchange";
import type { Missed } from "./aside";
import type { Wall, WallKind } from "./connection";

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
   * phone: the office was never reached; waiting: some are not there yet, or not here; office: all
   * are there, and what is there is here.
   */
  kind: "phone" | "waiting" | "office";
  /**
   * 'on this phone only', '3 waiting', 'looking …' until that is counted, 'not up to date', '2 not here', 'at the office 10:42': the
   * worse of what goes and what comes.
   */
  words: string;
  /** The same in two words at most beside a number or a time, for the head. */
  short: string;
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
   * The office's own trouble, connection errors, records refused and records that did not come;
   * empty while all is well or the office is merely unreachable.
   */
  trouble: Trouble[];
  /**
   * A notice that needs no action: the office was restored and everything is compared anew, or some
   * records are too large for phones.
   */
  note?: string;
  /** By how much this device's clock differs from the office's, where that is much. */
  clock?: string;
}

/** The head's last word: a sign of its own for each state, and two words at most beside a number. */
export interface LastWord {
  sign: "office" | "waiting" | "going" | "unreachable" | "two" | "trouble";
  words: string;
}

/** What the head knows beside the exchange. */
export interface Beside {
  /** Records in which two hands wrote different things. */
  differs: number;
  /** As many as waited when what goes just now began to go. */
  top: number;
  trouble: boolean;
}

/** The gravest first: trouble, a choice, and where the records are. */
export function lastWord(state: SyncState | undefined, { differs, top, trouble }: Beside): LastWord {
  if (trouble) return { sign: "trouble", words: E.short.trouble };
  if (differs > 0) return { sign: "two", words: E.short.differs(differs) };
  if (!state || state.short === E.short.starting) return { sign: "waiting", words: E.short.starting };
  const { waiting, moving, connected, kind, short } = state;
  if (moving) return { sign: "going", words: waiting > 0 ? E.short.going(top - waiting, top) : short };
  if (kind === "office") return { sign: "office", words: short };
  if (connected && waiting > 0) return { sign: "waiting", words: E.short.waiting(waiting) };
  return { sign: "unreachable", words: waiting > 0 ? E.short.only(waiting) : short };
}

/** Troubles, the worst first: of records themselves, of this device, of the way to the office. */
export function gravest(list: readonly Trouble[]): Trouble[] {
  const rank = ({ id, wall }: Trouble): number => (id ? 0 : wall === "full" ? 1 : wall ? 2 : 3);
  // In another network it is as if the office were merely out of reach.
  return list.filter((t) => t.wall !== "stranger").sort((a, b) => rank(a) - rank(b));
}

/** What the words are made from. */
export interface Facts {
  waiting: number;
  connected: boolean;
  moving: boolean;
  confirmed: number | undefined;
  refused: Trouble[];
  /** Connection errors of what goes and of what comes; "" while merely unreachable. */
  push: Wall;
  pull: Wall;
  /** Since when nothing comes although this device can send. */
  silent?: number | undefined;
  missed: Missed[];
  /** What the office says of itself. */
  office: string;
  /** Milliseconds that this device's clock is ahead of the office's, where that is much. */
  ahead?: number | undefined;
  /** What waits is not counted yet. */
  looking?: boolean | undefined;
  /** When this device met another store than before, and when all was compared with it. */
  anew?: { since: number; done?: number } | undefined;
}

export const atStart: Facts = {
  waiting: 0,
  connected: false,
  moving: false,
  confirmed: undefined,
  refused: [],
  push: { kind: "", text: "" },
  pull: { kind: "", text: "" },
  missed: [],
  office: "",
};

/** So many records that did not come are named one by one. */
const named = 10;

/** So long nothing may come before it is told: a start, a slow answer. */
const quiet = 60_000;

/** Puts the facts into words, as of a moment in this device's own time zone. */
export function sayState(facts: Facts, now: Date): SyncState {
  const { waiting, connected, moving, confirmed, push, pull, silent } = facts;
  const missed = facts.missed.filter(({ kind }) => kind !== "large");
  const large = facts.missed.length - missed.length;
  const still = silent !== undefined && now.getTime() - silent > quiet;
  const trouble: Trouble[] = [];
  if (facts.office) trouble.push({ text: facts.office });
  for (const { text, kind } of pull.text === push.text ? [push] : [push, pull]) {
    if (text) trouble.push({ text, ...(kind && { wall: kind }) });
  }
  if (still && !pull.text) trouble.push({ text: E.silent(clock(new Date(silent), now)) });
  trouble.push(...facts.refused);
  for (const { id, kind, reason } of missed.slice(0, named)) {
    trouble.push({ id, text: kind === "store" ? E.unstorable(reason) : E.damaged(reason) });
  }
  if (missed.length > named) trouble.push({ text: E.more(missed.length - named) });
  const note = [sayAnew(facts.anew, now), large > 0 && E.large(large)].filter(Boolean).join(" ");
  const said = {
    ...{ waiting, connected, moving, confirmed, trouble },
    ...(note && { note }),
    ...(facts.ahead !== undefined && { clock: sayClock(facts.ahead) }),
  };
  if (confirmed === undefined) {
    return { ...said, kind: "phone", words: E.phone, short: E.short.phone };
  }
  if (waiting > 0) {
    return { ...said, kind: "waiting", words: E.waiting(waiting), short: E.short.waiting(waiting) };
  }
  if (facts.looking) return { ...said, kind: "waiting", words: E.short.starting, short: E.short.starting };
  // In another network it is as if the office were merely out of reach.
  if ((pull.text && pull.kind !== "stranger") || still) {
    return { ...said, kind: "waiting", words: E.behind, short: E.short.behind };
  }
  if (missed.length > 0) {
    return { ...said, kind: "waiting", words: E.missing(missed.length), short: E.missing(missed.length) };
  }
  const at = clock(new Date(confirmed), now);
  const today = /^[\d:]+$/.test(at);
  return {
    ...said,
    kind: "office",
    words: E.office(at),
    short: today ? at : at.replace(/( \d{4})? [\d:]+$/, ""),
  };
}

/** 'This device's clock is 12 minutes ahead …'. */
function sayClock(ahead: number): string {
  const minutes = Math.round(Math.abs(ahead) / 60_000);
  const by =
    minutes < 100
      ? E.minutes(minutes)
      : minutes < 48 * 60
        ? E.hours(Math.round(minutes / 60))
        : E.days(Math.round(minutes / 1440));
  return ahead > 0 ? E.ahead(by) : E.behindBy(by);
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
