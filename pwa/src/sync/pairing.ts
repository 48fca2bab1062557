// What this device holds from its pairing with the office: its token, and its id and role there.
// The records never depend on it: losing or replacing it loses nothing.

export type Role = "owner" | "hand" | "reader";

export interface Pairing {
  token: string;
  /** The office's id of this device. */
  device: string;
  name: string;
  role: Role;
}

/** What the office said about itself when it was last reached. */
export interface OfficeNote {
  /** Address of the app and of the plain start page; start is "" where there is none. */
  app: string;
  start: string;
  fingerprint: string;
  /** When the certificate that devices trust runs out; "" where there is none. */
  until: string;
  network: boolean;
  version: string;
  /** When this was received, milliseconds since 1970. */
  heard: number;
}

const pairingKey = "datumbook.pairing";
const officeKey = "datumbook.office";

// Where nothing can be stored they last as long as the window is open.
const memory = new Map<string, string>();

function readText(key: string): string | null {
  try {
    return localStorage.getItem(key) ?? memory.get(key) ?? null;
  } catch {
    return memory.get(key) ?? null;
  }
}

/** False where the browser keeps it only as long as this window is open. */
function writeText(key: string, text: string | undefined): boolean {
  memory.delete(key);
  try {
    if (text === undefined) localStorage.removeItem(key);
    else localStorage.setItem(key, text);
    return true;
  } catch {
    if (text !== undefined) memory.set(key, text);
    return false;
  }
}

function readObject(key: string): Record<string, unknown> | undefined {
  try {
    const value = JSON.parse(readText(key) ?? "null") as unknown;
    return typeof value === "object" && value !== null ? (value as Record<string, unknown>) : undefined;
  } catch {
    return undefined; // not written by us
  }
}

const isRole = (role: unknown): role is Role => role === "owner" || role === "hand" || role === "reader";
const textOf = (value: unknown): string => (typeof value === "string" ? value : "");

export function readPairing(): Pairing | undefined {
  const p = readObject(pairingKey);
  if (!p || typeof p["token"] !== "string" || !isRole(p["role"])) return undefined;
  return { token: p["token"], device: textOf(p["device"]), name: textOf(p["name"]), role: p["role"] };
}

export const writePairing = (pairing: Pairing): boolean => writeText(pairingKey, JSON.stringify(pairing));
export const forgetPairing = (): boolean => writeText(pairingKey, undefined);

export function readOffice(): OfficeNote | undefined {
  const o = readObject(officeKey);
  return o && toOffice(o, Number(o["heard"]) || 0);
}

export function toOffice(o: Record<string, unknown>, heard: number): OfficeNote {
  return {
    app: textOf(o["app"]),
    start: textOf(o["start"]),
    fingerprint: textOf(o["fingerprint"]),
    until: textOf(o["until"]),
    network: o["network"] === true,
    version: textOf(o["version"]),
    heard,
  };
}

export const writeOffice = (note: OfficeNote): boolean => writeText(officeKey, JSON.stringify(note));

/** The eight digits out of what was typed or scanned; "" where there are not eight. */
export function codeDigits(typed: string): string {
  const digits = typed.replace(/[\s\u00a0\-\u2010-\u2015]/g, "");
  return /^\d{8}$/.test(digits) ? digits : "";
}
