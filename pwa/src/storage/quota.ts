// A store with no room left. PouchDB takes one write that finds no room for the end of the whole
// store: it lets go of it, so that nothing can be read any more, waits for ever for a local note,
// and opens no store that it cannot write to. All of these are of this device alone; what is there
// can be read, and goes to the office, with no room at all.
let borne = false;

/** Whether a fault says that the browser gives no more room. */
export const isFull = (cause: unknown): boolean => {
  const { name, message, reason } = (cause ?? {}) as Record<string, unknown>;
  return /quota/i.test(`${String(name)} ${String(message)} ${String(reason)}`);
};

/** What has no room here is left: it is only noted to save work later. */
export const unlessFull = (cause: unknown): void => {
  if (!isFull(cause)) throw cause;
};

/** From now on a write that finds no room fails by itself, and is told. */
export function bearFull(): void {
  if (borne || typeof IDBDatabase === "undefined") return;
  borne = true;
  // eslint-disable-next-line @typescript-eslint/unbound-method -- called with its own this
  const { transaction } = IDBDatabase.prototype;
  IDBDatabase.prototype.transaction = function (stores, ...more) {
    const tx = transaction.call(this, stores, ...more);
    if (tx.mode !== "readwrite") return tx;
    let told = false;
    tx.addEventListener("error", () => (told = true));
    tx.addEventListener("abort", (event) => {
      if (!isFull(tx.error)) return;
      event.stopPropagation(); // the store itself is well
      if ([stores].flat().includes("detect-blob-support")) {
        // Opening writes down a count that it makes anew each time: it is open without.
        event.stopImmediatePropagation();
        tx.oncomplete?.(event);
      } else if (!tx.onabort && !told) tx.onerror?.(event);
    });
    return tx;
  };
}
