// Drafts: what is typed and not yet kept, stored at every key, so that a reload or a crash loses
// nothing.

export interface Draft {
  /** Texts by input key. */
  inputs: Record<string, string>;
  /** Other state of the screen: note, job, open sections. Texts only. */
  more?: Record<string, string>;
}

const prefix = "datumbook.draft.";

/**
 * What was typed into a form, undefined when nothing was. The name is the worksheet's, or any other
 * of the screen's choice.
 */
export function loadDraft(name: string): Draft | undefined {
  try {
    const draft = JSON.parse(localStorage.getItem(prefix + name) ?? "null") as Partial<Draft> | null;
    if (typeof draft?.inputs !== "object" || draft.inputs === null) {
      return undefined;
    }
    const more = texts(draft.more);
    return { inputs: texts(draft.inputs), ...(Object.keys(more).length > 0 && { more }) };
  } catch {
    return undefined; // switched off, or not written by this app: an empty form is better than none
  }
}

/**
 * Writes it now. False when the browser refuses to store (full, or switched off): say so on the
 * screen.
 */
export function saveDraft(name: string, draft: Draft): boolean {
  try {
    localStorage.setItem(prefix + name, JSON.stringify(draft));
    return true;
  } catch {
    return false;
  }
}

export function clearDraft(name: string): void {
  try {
    localStorage.removeItem(prefix + name);
  } catch {
    // switched off: nothing was stored either
  }
}

/** Whether any form holds something typed. */
export function anyDraft(): boolean {
  try {
    for (let at = 0; at < localStorage.length; at++) {
      const name = localStorage.key(at);
      if (name?.startsWith(prefix)) {
        const draft = loadDraft(name.slice(prefix.length));
        if (
          draft &&
          [...Object.values(draft.inputs), ...Object.values(draft.more ?? {})].some((text) => text !== "")
        ) {
          return true;
        }
      }
    }
  } catch {
    // switched off
  }
  return false;
}

/** Keeps only texts under names and drops whatever else got in. */
function texts(from: unknown): Record<string, string> {
  return Object.fromEntries(
    Object.entries((from ?? {}) as Record<string, unknown>).filter(
      (pair): pair is [string, string] => typeof pair[1] === "string",
    ),
  );
}
