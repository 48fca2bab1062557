// What Start shows of the mill. The job book works it out; until that is here, Start shows what it
// was the last time, so that its keys can be touched from the first moment.
import { inPocket, putInPocket } from "./pocket";

/** How the part sits, as paths on a field of 200 x 80: metal is filled, dye is what the step is about. */
export interface Scene {
  metal: string;
  part: string;
  ink: string;
  thin: string;
  dye: string;
}

export interface Running {
  kind: "running";
  setup: string;
  /** The setup's own name, its job, its machine. */
  line: string;
  /** Its next step: id, name, notes; "" where there is none. */
  step: string;
  next: string;
  notes: string;
  /** Whether that step is read off a needle. */
  reads: boolean;
  /** Worksheets that fit the step. */
  sheets: string[];
  /** The setup that takes over when all is done. */
  on: string;
  onName: string;
  /** What two devices wrote differently. */
  clash: string;
  scene: Scene;
  /** The last readings, as "left 0, right +2". */
  last: string;
}

export interface Waiting {
  kind: "waiting";
  setups: { id: string; name: string; line: string }[];
}

/** Nothing runs; "first" before there is any job. */
export type Face = Running | Waiting | { kind: "first" };

const KEY = "datumbook.mill";

const texts = (of: object, keys: string): boolean =>
  keys.split(" ").every((key) => typeof (of as Record<string, unknown>)[key] === "string");

/** What was shown the last time, where this version can show it. */
export function faceBefore(): Face | undefined {
  const face = Object(inPocket(KEY)) as Partial<Running> & Partial<Waiting>;
  if (face.kind === "running")
    return texts(face, "setup line step next notes on onName clash last") &&
      texts(Object(face.scene) as object, "metal part ink thin dye") &&
      Array.isArray(face.sheets) &&
      face.sheets.every((s) => typeof s === "string")
      ? (face as Running)
      : undefined;
  if (face.kind === "waiting")
    return Array.isArray(face.setups) && face.setups.every((s) => texts(Object(s) as object, "id name line"))
      ? (face as Waiting)
      : undefined;
  return (face as Face).kind === "first" ? { kind: "first" } : undefined;
}

export const keepFace = (face: Face): void => putInPocket(KEY, face);

/**
 * What was touched on Start before the records could take it, kept until they have: the tick of a
 * step, or a setup that shall run, in place of another where it is handed on.
 */
export interface Owed {
  what: "tick" | "run";
  id: string;
  from?: string;
}

const OWED = "datumbook.owed";
let owed: Owed | undefined = owedBefore();
const listeners = new Set<() => void>();

function owedBefore(): Owed | undefined {
  const kept = Object(inPocket(OWED)) as Partial<Owed>;
  return (kept.what === "tick" || kept.what === "run") && typeof kept.id === "string"
    ? (kept as Owed)
    : undefined;
}

export const whatIsOwed = (): Owed | undefined => owed;

export function owe(what: Owed | undefined): void {
  owed = what;
  putInPocket(OWED, what ?? null);
  for (const tell of listeners) tell();
}

export function onOwed(tell: () => void): () => void {
  listeners.add(tell);
  return () => void listeners.delete(tell);
}
