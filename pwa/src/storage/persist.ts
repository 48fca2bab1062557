// Whether the browser may throw away what is stored here.
import { isFull } from "./quota";

export interface StorageState {
  /**
   * granted: the browser keeps it until told otherwise; may-clear: it may clear it; unknown: it
   * does not say.
   */
  kind: "granted" | "may-clear" | "unknown";
  /** In plain words. */
  words: string;
  /** Bytes used and allowed, where the browser says. */
  used?: number;
  quota?: number;
}

/**
 * Asks the browser to keep the records for good. Call it after something was kept: browsers grant
 * it more readily then.
 */
export async function askToKeep(): Promise<StorageState> {
  const storage = navigator.storage as StorageManager | undefined;
  try {
    if (storage?.persisted && !(await storage.persisted())) {
      await storage.persist();
    }
  } catch {
    // some browsers refuse even to be asked, in private windows for one
  }
  return storageState();
}

const KEPT = "datumbook.kept";

/** Notes that something was made and kept on this device, and not brought to it. */
export function noteKept(): void {
  try {
    localStorage.setItem(KEPT, "yes");
  } catch {
    // noted with the next
  }
}

export function keptHere(): boolean {
  try {
    return localStorage.getItem(KEPT) !== null;
  } catch {
    return false;
  }
}

/** Reads the state without asking for it. */
export async function storageState(): Promise<StorageState> {
  const storage = navigator.storage as StorageManager | undefined;
  let granted: boolean | undefined;
  let room: StorageEstimate = {};
  try {
    granted = await storage?.persisted?.();
    room = (await storage?.estimate?.()) ?? {};
  } catch {
    // as above
  }
  return {
    ...sayStorage(granted),
    ...(room.usage !== undefined && { used: room.usage }),
    ...(room.quota !== undefined && { quota: room.quota }),
  };
}

/** A fault of this device's own storage as a sentence; undefined where it is something else. */
export function sayFault(cause: unknown): string | undefined {
  const { name = "", message = "", reason = "" } = (cause ?? {}) as Record<string, unknown>;
  const all = `${String(name)} ${String(message)} ${String(reason)}`;
  if (isFull(cause) || /disk is full|no space/i.test(all)) {
    return "This device's room for Datumbook is full, so nothing more can be kept just now. What you typed is still here, and all that was kept before is there. Free some room on the device, then try again; until then bring the records to the office or save everything to a file.";
  }
  if (
    /InvalidStateError|SecurityError|Invalid Adapter|did not allow mutations|indexed_db_went_bad|not open|is closed|closing/.test(
      all,
    )
  ) {
    return "This window stores nothing: it is private, its storage is off, or the browser lost hold of it. Open the app in an ordinary window.";
  }
  return undefined;
}

/** Puts the browser's answer into words. */
export function sayStorage(granted: boolean | undefined): Pick<StorageState, "kind" | "words"> {
  switch (granted) {
    case true:
      return { kind: "granted", words: "This device keeps your records until you remove them." };
    case false:
      return {
        kind: "may-clear",
        words:
          "The browser may clear your records when space runs short or the app is not used for some days. Install the app to the home screen, or bring the records to the office soon.",
      };
    default:
      return {
        kind: "unknown",
        words:
          "The browser does not say whether it keeps your records. Bring them to the office soon, or save them to a file.",
      };
  }
}
