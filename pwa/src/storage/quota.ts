// Quota exceeded. PouchDB takes one write that finds no room for the end of the whole store: it
// closes it, so that nothing can be read any more, waits forever for a local note, and opens no
// store that it cannot write to. Yet what is stored can be read, and sent to the office, with no
// room at all.
let borne = false;

/** Whether the last record found no room, and who is told when that changes. */
let short = false;
const ears = new Set<() => void>();
export const noRoom = (): boolean => short;
export function onRoom(tell: () => void): () => void {
  ears.add(tell);
  return () => void ears.delete(tell);
}
function found(room: boolean): void {
  if (short === !room) return;
  short = !room;
  for (const tell of [...ears]) tell();
}

/** Whether a fault says that the browser gives no more room. */
export const isFull = (cause: unknown): boolean => {
  const { name, message, reason } = (cause ?? {}) as Record<string, unknown>;
  return /quota/i.test(`${String(name)} ${String(message)} ${String(reason)}`);
};

/** Ignores a lack of room, for writes that only save work later. */
export const unlessFull = (cause: unknown): void => {
  if (!isFull(cause)) throw cause;
};

/** From now on a write that finds no room fails by itself, and its error is reported. */
export function bearFull(): void {
  if (borne || typeof IDBDatabase === "undefined") return;
  borne = true;
  // eslint-disable-next-line @typescript-eslint/unbound-method -- called with its own this
  const { transaction } = IDBDatabase.prototype;
  IDBDatabase.prototype.transaction = function (stores, ...more) {
    const tx = transaction.call(this, stores, ...more);
    if (tx.mode !== "readwrite") return tx;
    let told = false;
    const names = [stores].flat();
    if (names.includes("by-sequence")) tx.addEventListener("complete", () => found(true));
    tx.addEventListener("error", () => (told = true));
    tx.addEventListener("abort", (event) => {
      if (!isFull(tx.error)) return;
      event.stopPropagation(); // the store itself still works
      found(false);
      if (names.includes("detect-blob-support")) {
        // Opening writes values that it derives anew each time: the store works without them.
        event.stopImmediatePropagation();
        tx.oncomplete?.(event);
      } else if (!tx.onabort && !told) tx.onerror?.(event);
    });
    return tx;
  };
}
