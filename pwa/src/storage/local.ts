// Notes that this device keeps beside its records: they never leave it and have no history.
import type PouchDB from "pouchdb-core";

/** Reads a local note; undefined when there is none. */
export async function readLocal<T>(db: PouchDB, name: string): Promise<T | undefined> {
  try {
    return (await db.get<{ is: T }>(`_local/${name}`)).is;
  } catch (cause) {
    if ((cause as { status?: number }).status === 404) {
      return undefined;
    }
    throw cause;
  }
}

/** Writes a local note over whatever was there; two windows may do so at the same time. */
export async function writeLocal<T>(db: PouchDB, name: string, is: T): Promise<void> {
  for (let tries = 0; ; tries++) {
    const old = await db.get<{ _rev: string }>(`_local/${name}`).catch(() => undefined);
    try {
      await db.put({ _id: `_local/${name}`, ...(old && { _rev: old._rev }), is });
      return;
    } catch (cause) {
      if ((cause as { status?: number }).status !== 409 || tries >= 5) {
        throw cause;
      }
    }
  }
}

const letters = "0123456789abcdefghjkmnpqrstvwxyz"; // 32, without those that read alike

/** Letters and figures at random, 5 bits each. */
export function randomName(length: number): string {
  return [...crypto.getRandomValues(new Uint8Array(length))].map((byte) => letters[byte % 32]).join("");
}

/**
 * This device's name for itself. It is stored with the records, so that a cleared device starts as
 * a new one.
 */
export async function deviceName(db: PouchDB): Promise<string> {
  for (;;) {
    const known = await readLocal<string>(db, "device");
    if (known) {
      return known;
    }
    // Written without overwriting: of two windows starting at once, the first one's name stands for
    // both.
    await db.put({ _id: "_local/device", is: randomName(10) }).catch((cause: { status?: number }) => {
      if (cause.status !== 409) {
        throw cause;
      }
    });
  }
}
