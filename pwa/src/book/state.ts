// Where the records are, in plain words.

export interface Trouble {
  /** What happened and what to do, in a sentence or two. */
  text: string;
  /** Id of the record it concerns, when it is one record. */
  id?: string;
}

export interface SyncState {
  /** phone: the office was never reached; waiting: some are not there yet; office: all are there. */
  kind: "phone" | "waiting" | "office";
  /** 'on this phone only', '3 waiting', 'at the office 10:42'. */
  words: string;
  /** Records and changes made here that the office has not confirmed. Exact, also after a reload. */
  waiting: number;
  /** Whether the office answers at this moment. */
  connected: boolean;
  /** Whether records are on their way at this moment. */
  moving: boolean;
  /** When the office last confirmed everything; milliseconds since 1970, undefined if never. */
  confirmed: number | undefined;
  /** Refused records and what keeps the office out of reach; empty while all is well or merely out of reach. */
  trouble: Trouble[];
}
