// Everything a page needs that is not in memory, fetched before it is drawn, so that what is
// printed is whole.
import type { Book } from "../records/open";
import type { Past } from "../records/rules";
import type { Kept } from "../records/kept";
import { byMade, text, type Rec } from "../records/fields";
import type { Bridge } from "../engine/bridge";
import type { Answer } from "../engine/contract.gen";
import { isRefused } from "../engine/reply";
import type { Faces, Room, Scene } from "../drawing/face";
import { ask } from "../jobbook/prefill";
import { about, belongings, inspection, partsOf, sized } from "./model";

export interface Extra {
  kept: Map<string, Kept>;
  /** Addresses of pictures by the photo's id. */
  photos: Map<string, string>;
  /** What the worksheet says of a reading, by the reading's id. */
  judged: Map<string, Answer>;
  past: { rec: Rec; line: Past }[];
  /** Where things are on the records that are drawn, by their ids. */
  shapes: Map<string, Faces | Room | Scene>;
}

export async function gather(book: Book, bridge: Bridge, what: string, rec: Rec): Promise<Extra> {
  const { repo } = book;
  const whole = what === "job" ? belongings(repo, rec) : [];
  const photos = whole.length > 0 ? whole.filter((r) => r.kind === "photo") : about(repo, "photo", rec.id);
  const out: Extra = { kept: new Map(), photos: new Map(), judged: new Map(), past: [], shapes: new Map() };
  if (what !== "label") for (const p of photos) await picture(book, p, out.photos);
  const drawn =
    what === "job" ? whole : what === "holes" && rec.kind !== "fixture" ? partsOf(repo, rec) : [rec];
  for (const { id, kind } of what === "inspection" ? [] : drawn)
    if (/^(setup|fixture|part|machine)$/.test(kind)) out.shapes.set(id, await ask(repo, "shape", { id }));
  for (const k of repo.all("kept").sort(byMade)) {
    if (!(whole.includes(k) || (what === "setup" && text(k, "setup") === rec.id))) continue;
    const kept = await book.get(k.id);
    if (kept?.answer?.results) out.kept.set(k.id, kept);
  }
  if (what === "inspection" || what === "job") {
    for (const { reading, limits, kept: held } of inspection(repo, rec)) {
      const kept = held && (out.kept.get(held.id) ?? (await book.get(held.id)));
      if (kept?.answer?.results) out.kept.set(kept._id, kept);
      const unsure = reading && sized(reading, "unsure", true);
      if (!reading || !limits || !unsure) continue;
      const inputs = { size: sized(reading, "value", true), unsure, low: limits.low, high: limits.high };
      const reply = await bridge.run("accept", "in", inputs, `paper ${reading.id}`);
      if (reply && !isRefused(reply)) out.judged.set(reading.id, reply);
    }
  }
  for (const r of whole) {
    for (const line of await repo.history(r.id)) out.past.push({ rec: r, line });
  }
  out.past.sort((a, b) => (a.line.at < b.line.at ? -1 : a.line.at > b.line.at ? 1 : 0));
  return out;
}

/**
 * Reads a picture and waits until it can be drawn; one that has not reached this device is left
 * out.
 */
async function picture(book: Book, photo: Rec, into: Map<string, string>): Promise<void> {
  const blob = await book.repo.file(photo.id, text(photo, "image") || "image.jpg");
  if (!blob) return;
  const url = URL.createObjectURL(blob);
  const img = new Image();
  img.src = url;
  await img.decode().then(
    () => into.set(photo.id, url),
    () => URL.revokeObjectURL(url),
  );
}

export const release = (extra: Extra): void => {
  for (const url of extra.photos.values()) URL.revokeObjectURL(url);
};
