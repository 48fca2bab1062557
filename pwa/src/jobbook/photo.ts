// Photos are made smaller on the phone before they are stored: a setup needs no twelve megapixels.
import { B } from "../text/jobbook";

/** Longest side of what is kept and of the thumbnail, in pixels. */
const LONGEST = 1600;
const THUMB = 320;
const MOST_BYTES = 60e6;
const MOST_DOTS = 120e6;

interface Picture {
  image: Blob;
  thumb: Blob;
  wide: number;
  high: number;
}

/** Its message is shown to the person who chose the picture. */
class NoPicture extends Error {
  override name = "NoPicture";
}

/** The size that fits: never larger than it is, never under one pixel. */
export function fitInto(wide: number, high: number, longest: number): { wide: number; high: number } {
  const scale = Math.min(1, longest / Math.max(wide, high, 1));
  return { wide: Math.max(1, Math.round(wide * scale)), high: Math.max(1, Math.round(high * scale)) };
}

/** Decodes a picture, turns it upright, and scales it down for keeping. */
export async function shrink(file: Blob): Promise<Picture> {
  if (file.size > MOST_BYTES) throw new NoPicture(B.photo.huge(Math.round(file.size / 1e6)));
  const from = await decode(file).catch(() => {
    throw new NoPicture(B.photo.notPicture);
  });
  try {
    if (from.wide * from.high > MOST_DOTS) {
      throw new NoPicture(B.photo.tooMany(Math.round((from.wide * from.high) / 1e6)));
    }
    const size = fitInto(from.wide, from.high, LONGEST);
    const image = await paint(from.source, size, 0.8);
    const thumb = await paint(from.source, fitInto(from.wide, from.high, THUMB), 0.7);
    return { image, thumb, ...size };
  } finally {
    from.free();
  }
}

interface Decoded {
  source: CanvasImageSource;
  wide: number;
  high: number;
  free: () => void;
}

/** The picture upright. A browser that cannot be told to turn it turns what an img element shows. */
async function decode(file: Blob): Promise<Decoded> {
  try {
    const map = await createImageBitmap(file, { imageOrientation: "from-image" });
    return { source: map, wide: map.width, high: map.height, free: () => map.close() };
  } catch (err) {
    // The word is not known to iOS before 17.2 and Chrome before 112.
    if (!(err instanceof TypeError)) throw err;
  }
  const img = new Image();
  const free = () => URL.revokeObjectURL(img.src);
  img.src = URL.createObjectURL(file);
  try {
    await img.decode();
  } catch (err) {
    free();
    throw err;
  }
  return { source: img, wide: img.naturalWidth, high: img.naturalHeight, free };
}

async function paint(
  source: CanvasImageSource,
  size: { wide: number; high: number },
  quality: number,
): Promise<Blob> {
  const canvas = document.createElement("canvas");
  canvas.width = size.wide;
  canvas.height = size.high;
  const pen = canvas.getContext("2d");
  if (!pen) throw new NoPicture(B.photo.notPicture);
  pen.fillStyle = "#fff"; // background of transparent pixels: JPEG has no transparency
  pen.fillRect(0, 0, size.wide, size.high);
  pen.imageSmoothingQuality = "high";
  pen.drawImage(source, 0, 0, size.wide, size.high);
  const blob = await new Promise<Blob | null>((done) => canvas.toBlob(done, "image/jpeg", quality));
  canvas.width = canvas.height = 0; // frees the memory at once
  if (!blob) throw new NoPicture(B.photo.notPicture);
  return blob;
}
