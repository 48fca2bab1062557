// Requests to the office beside replication: pairing, devices, records that need a look.
import { readPairing, toOffice, writeOffice, writePairing, type OfficeNote, type Role } from "./pairing";
import { NotTheOffice, watchedFetch } from "./fetch";

/** The office refused, and said why. */
export class OfficeSays extends Error {
  override name = "OfficeSays";
  constructor(
    message: string,
    readonly status: number,
    /** What it is about, such as code, name, token, revoked, role. */
    readonly field: string,
    /** Seconds to wait before the next try; 0 where it does not matter. */
    readonly wait: number,
  ) {
    super(message);
  }
}

/** No answer came at all. */
export class OutOfReach extends Error {
  override name = "OutOfReach";
}

const sentence = (text: string): string => {
  const first = text.charAt(0).toUpperCase() + text.slice(1);
  return /[.!?]$/.test(first) ? first : `${first}.`;
};

export interface AskOptions {
  fetcher?: typeof fetch;
  /** Without one, the token of this device's pairing. */
  token?: string;
  /** Where the office is; this page's own origin unless said. */
  origin?: string;
}

/** Asks the office; a refusal is thrown as OfficeSays, no answer as OutOfReach. */
export async function askOffice<T>(
  method: "GET" | "POST" | "DELETE",
  path: string,
  body?: unknown,
  options: AskOptions = {},
): Promise<T> {
  const ask = watchedFetch(
    { silence: 20_000, token: () => options.token ?? readPairing()?.token },
    options.fetcher ?? fetch.bind(globalThis),
  );
  let response: Response;
  try {
    response = await ask((options.origin ?? location.origin) + path, {
      method,
      cache: "no-store",
      headers: {
        Accept: "application/json",
        ...(body !== undefined && { "Content-Type": "application/json" }),
      },
      ...(body !== undefined && { body: JSON.stringify(body) }),
    });
  } catch (cause) {
    if (cause instanceof NotTheOffice) throw cause;
    throw new OutOfReach("The office machine does not answer.");
  }
  const text = await response.text();
  let said: { error?: { field?: string; message?: string } } = {};
  try {
    said = text ? (JSON.parse(text) as typeof said) : {};
  } catch {
    throw new NotTheOffice("the answer was not understood");
  }
  if (!response.ok) {
    const { field = "", message = `the answer was ${response.status}` } = said.error ?? {};
    const wait = Number(response.headers.get("Retry-After")) || 0;
    throw new OfficeSays(sentence(message), response.status, field, wait);
  }
  return said as T;
}

export interface DeviceView {
  id: string;
  name: string;
  role: Role;
  paired: string;
  seen?: string;
  revoked?: string;
}

export interface Paired {
  device: DeviceView;
  kept: boolean;
}

/**
 * Exchanges a code for a token and stores it. kept is false where the browser forgets it with this
 * window.
 */
export const pairHere = (code: string, name: string, options?: AskOptions): Promise<Paired> =>
  trade("/api/pair", { code, name }, options);

/** Exchanges the key of the office machine's own link in the same way. */
export const openHere = (key: string, options?: AskOptions): Promise<Paired> =>
  trade("/api/open", { key }, options);

async function trade(path: string, body: object, options?: AskOptions): Promise<Paired> {
  // The old token, if any, is not shown: a device that was shut out pairs like a new one.
  const got = await askOffice<{ token: string; device: DeviceView }>("POST", path, body, {
    ...options,
    token: "",
  });
  const { device, token } = got;
  const kept = writePairing({ token, device: device.id, name: device.name, role: device.role });
  return { device, kept };
}

export interface Me {
  device: string;
  name: string;
  role: Role;
  version: string;
}

/** What this device is at the office. */
export const whoAmI = (options?: AskOptions): Promise<Me> =>
  askOffice<Me>("GET", "/api/me", undefined, options);

/** Gives a device another name at the office, and here where it is this one. */
export async function renameDevice(id: string, name: string, options?: AskOptions): Promise<string> {
  const now = await askOffice<{ name: string }>(
    "POST",
    `/api/devices/${encodeURIComponent(id)}`,
    { name },
    options,
  );
  calledHere(id, now.name);
  return now.name;
}

/** Notes what this device is called at the office, where an owner may have renamed it. */
export function calledHere(id: string, name: string): void {
  const pairing = readPairing();
  if (pairing?.device === id && pairing.name !== name) writePairing({ ...pairing, name });
}

/** Asks how the office is reached and stores the answer for when it is unreachable. */
export async function askAddresses(now: number, options?: AskOptions): Promise<OfficeNote> {
  const note = toOffice(
    await askOffice<Record<string, unknown>>("GET", "/api/office", undefined, options),
    now,
  );
  writeOffice(note);
  return note;
}
