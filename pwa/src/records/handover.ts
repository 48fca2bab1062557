// Gives a file to the user: through the share sheet where the device has one, else as a download.

export type Handed =
  | "shared"
  | "saved" // it is among the downloads
  | "cancelled" // the person closed the share sheet
  | "again"; // the browser wants a new tap, since making the file took a while

/** The browser functions it uses; a test replaces them. */
export interface Hands {
  canShare?: (data: { files: File[] }) => boolean;
  share?: (data: { files: File[]; title?: string }) => Promise<void>;
  download: (file: File) => void;
}

export const browserHands = (): Hands => ({
  ...(typeof navigator.share === "function" && { share: (data) => navigator.share(data) }),
  ...(typeof navigator.canShare === "function" && { canShare: (data) => navigator.canShare(data) }),
  download,
});

/** Browsers allow only some kinds of file in the share sheet; plain text is allowed everywhere. */
export function shareable(file: File, hands: Hands): File | undefined {
  if (!hands.share || !hands.canShare) return undefined;
  const asText = new File([file], file.name.replace(/\.json$/, ".txt"), { type: "text/plain" });
  return [file, asText].find((f) => {
    try {
      return hands.canShare!({ files: [f] });
    } catch {
      return false;
    }
  });
}

/** Shares it where that can be done, else downloads it. */
export async function handOver(file: File, hands: Hands = browserHands()): Promise<Handed> {
  const parcel = shareable(file, hands);
  if (parcel) {
    try {
      await hands.share!({ files: [parcel], title: parcel.name });
      return "shared";
    } catch (cause) {
      const name = (cause as { name?: string } | null)?.name;
      if (name === "AbortError") return "cancelled";
      if (name === "NotAllowedError") return "again";
      // the share sheet itself failed: download instead
    }
  }
  hands.download(file);
  return "saved";
}

/** Downloads a file. */
export function download(file: File): void {
  const url = URL.createObjectURL(file);
  const a = document.createElement("a");
  a.href = url;
  a.download = file.name;
  a.click();
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
}
