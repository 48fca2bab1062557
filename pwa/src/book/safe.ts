// Whether the browser may throw away what is stored here.

export interface StorageState {
  /** granted: the browser keeps it until told otherwise; may-clear: it may clear it; unknown: it does not say. */
  kind: "granted" | "may-clear" | "unknown";
  /** In plain words. */
  words: string;
  /** Bytes used and allowed, where the browser says. */
  used?: number;
  quota?: number;
}

/** Asks the browser to keep the records for good. Call it after something was kept: browsers grant it more readily then. */
export declare function askToKeep(): Promise<StorageState>;
/** Looks without asking. */
export declare function storageState(): Promise<StorageState>;
