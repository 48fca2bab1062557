// Small values in local storage. Without storage the app works without them.

/** What is kept under a name; undefined where nothing is. */
export function inPocket(name: string): unknown {
  try {
    return JSON.parse(localStorage.getItem(name) ?? "null") ?? undefined;
  } catch {
    return undefined;
  }
}

export function putInPocket(name: string, what: unknown): void {
  try {
    localStorage.setItem(name, JSON.stringify(what));
  } catch {
    // not stored: only this window has it
  }
}
