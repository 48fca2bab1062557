// What is typed and not yet kept: written at once, at every key, so that a reload or a crash loses nothing.

export interface Draft {
  /** Texts by input key. */
  inputs: Record<string, string>;
  /** Anything else the screen wants back: note, job, open sections. Texts only. */
  more?: Record<string, string>;
}

/** What was typed into a form, undefined when nothing was. The name is the worksheet's, or any other of the screen's choice. */
export declare function loadDraft(name: string): Draft | undefined;
/** Writes it now. False when the browser refuses to store (full, or switched off): say so on the screen. */
export declare function saveDraft(name: string, draft: Draft): boolean;
export declare function clearDraft(name: string): void;
/** Whether any form holds something typed. */
export declare function anyDraft(): boolean;
