// Connection errors between this device and the office, in words, each with what to do. Whichever
// it is, the records stay on this device.
import { NotTheOffice } from "./fetch";
import { isFull } from "../storage/quota";

export type WallKind =
  | "" // merely unreachable
  | "unpaired" // the office wants a pairing, and this device has none
  | "unknown" // the office does not know this device's token
  | "revoked" // the owner shut this device out
  | "reader" // this device may only read, and something was written on it
  | "stranger" // something else answers at the address
  | "moved" // the office answers, but not to this address
  | "newer" // the office keeps records in a form that this app does not know
  | "full" // no room on this device
  | "large" // a record is too large
  | "book" // the office has no such book
  | "office"; // the office has a fault

/** Those that pairing solves. */
export const pairable: readonly WallKind[] = ["unpaired", "unknown", "revoked", "reader"];

export interface Wall {
  kind: WallKind;
  text: string;
}

/** The office keeps records in a form newer than this app's. */
export class NewerOffice extends Error {
  override name = "NewerOffice";
}

interface Cause {
  status?: number;
  name?: string;
  message?: string;
  reason?: string;
  /** The member that the office's refusal is about. */
  field?: string;
}

export const reasonOf = (cause: Cause): string =>
  (cause.reason ?? cause.message ?? cause.name ?? "it gave no reason").replace(/\.$/, "");

/**
 * Whether an answer is about what was asked for or sent, and not about the connection or this
 * device; gone: also that it is not there.
 */
export function ofTheRequest(cause: unknown, gone = false): boolean {
  const { status } = (cause ?? {}) as Cause;
  return (
    typeof status === "number" &&
    status >= 400 &&
    ![401, 403, 421, 429, 502, 503, 504].includes(status) &&
    (gone || status !== 404)
  );
}

/** Classifies a connection error. paired: whether this device holds a token. */
export function wallOf(cause: unknown, paired: boolean): Wall {
  const { status, name, field } = (cause ?? {}) as Cause;
  if (cause instanceof NotTheOffice || name === "NotTheOffice") {
    return {
      kind: "stranger",
      text: "Something other than the office machine answers at this address. Is this the shop's own network? Records stay safe on this device.",
    };
  }
  if (cause instanceof NewerOffice) {
    return {
      kind: "newer",
      text: "The office keeps its records in a newer form than this app knows. Update the app on this device; until then records stay safe here.",
    };
  }
  if (isFull(cause)) {
    return {
      kind: "full",
      text: "This device's room for Datumbook is full, so nothing from the office fits on it. Free some room on the device; what was kept here is there, and still goes to the office.",
    };
  }
  switch (status) {
    case 401:
      if (!paired) {
        return {
          kind: "unpaired",
          text: "This device is not paired with the office yet. Pair it with a code from the office screen; until then records stay on this device.",
        };
      }
      return field === "revoked"
        ? {
            kind: "revoked",
            text: "The owner shut this device out of the office. Everything kept here is still here: save it to a file, or ask for a new code and pair again.",
          }
        : {
            kind: "unknown",
            text: "The office machine does not know this device. Pair it again at the office; records stay safe on this device until then.",
          };
    case 403:
      return field === "role" || /role/.test(reasonOf(cause ?? {}))
        ? readerWall
        : {
            kind: "unknown",
            text: "The office machine does not let this device in. Pair it again at the office; records stay safe on this device until then.",
          };
    case 404:
      return {
        kind: "book",
        text: "The office machine has no book of this name. Ask its owner to make it; records stay safe on this device.",
      };
    case 413:
      return {
        kind: "large",
        text: "A record is larger than the office machine takes. Save everything to a file and read it in at the office.",
      };
    case 421:
      return {
        kind: "moved",
        text: "The office machine goes by another address now. Save what waits to a file, open the new address that the office screen shows, and read the file in there.",
      };
    case 429:
    case 502:
    case 503:
    case 504:
      return { kind: "", text: "" };
  }
  if (typeof status === "number" && status >= 400) {
    return {
      kind: "office",
      text: `The office machine reported trouble (${status}: ${reasonOf(cause as Cause)}). This device goes on trying.`,
    };
  }
  return { kind: "", text: "" };
}

/** Shown where a device that may only read was written on: that is not sent. */
export const readerWall: Wall = {
  kind: "reader",
  text: "This device may only read at the office, so what was kept here stays here. Ask the owner for a code for a hand and pair again, or save it to a file.",
};
