/** What the keypad says of what is typed: set by the form, read by the keypad. */
export interface News {
  /** Sentence about the field being typed in, "" when it is right. */
  fault: string;
  /** The answer in a line, of a page that has it not in sight over the keypad. */
  answer?: string;
}

let now: News = { fault: "" };
const listeners = new Set<() => void>();

export const news = (): News => now;

export function tellKeypad(next: News): void {
  if (next.fault === now.fault && next.answer === now.answer) return;
  now = next;
  for (const tell of listeners) tell();
}

export function onNews(tell: () => void): () => void {
  listeners.add(tell);
  return () => void listeners.delete(tell);
}
