/** What the keypad shows above its keys: set by the form, read by the keypad. */
export interface News {
  /** Sentence about the field being typed in, "" when it is right. */
  fault: string;
  /** The answer in a line. */
  answer: string;
  level: "good" | "refuse" | "caution" | "note" | "open" | "none";
}

let now: News = { fault: "", answer: "", level: "none" };
const listeners = new Set<() => void>();

export const news = (): News => now;

export function tellKeypad(next: News): void {
  if (next.fault === now.fault && next.answer === now.answer && next.level === now.level) return;
  now = next;
  for (const tell of listeners) tell();
}

export function onNews(tell: () => void): () => void {
  listeners.add(tell);
  return () => void listeners.delete(tell);
}
