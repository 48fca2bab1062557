// How the part sits, drawn from the records: the table, the fixture by its kind, with the true size
// of its face and its holes where they are known, and the part before it. For recognising, not for
// measuring.
import { rows, text, type Rec } from "../records/fields";
import type { Scene } from "../screen/face";

/** The field, and the table's upper edge. */
const [W, FLOOR, TOP] = [200, 70, 6];

/** A length in inches, near enough for a picture; undefined where it cannot be read. */
export function rough(typed: unknown): number | undefined {
  const m = /^([-+]?)(?:(\d+)[\s-])?(\d*\.?\d+)(?:\/(\d+))?\s*(mm)?/.exec(
    typeof typed === "string" ? typed : "",
  );
  if (!m) return undefined;
  const n = (Number(m[2] ?? 0) + Number(m[3]) / Number(m[4] ?? 1)) / (m[5] ? 25.4 : 1);
  return Number.isFinite(n) ? (m[1] === "-" ? -n : n) : undefined;
}

const px = (n: number): string => String(Math.round(n * 10) / 10);
const box = (x: number, y: number, w: number, h: number): string =>
  `M${px(x)} ${px(y)}h${px(w)}v${px(h)}h${px(-w)}z`;
const ring = (x: number, y: number, r: number): string =>
  `M${px(x - r)} ${px(y)}a${px(r)} ${px(r)} 0 1 0 ${px(2 * r)} 0 ${px(r)} ${px(r)} 0 1 0 ${px(-2 * r)} 0z`;

/** Width and height of the part as it stands before one, by the side that is down. */
function partSize(part: Rec | undefined, down: string): [number, number] | undefined {
  const [long, wide, high] = ["long", "wide", "high"].map((key) => rough(text(part, key)));
  if (!long || !high) return undefined;
  return /x/.test(down) ? [high, long] : /y/.test(down) ? [long, wide ?? high] : [long, high];
}

/** What the step is about: the part's upper face, a hole or a slot in its middle. */
function about(feature: Rec | undefined, x: number, y: number, w: number, h: number): string {
  const kind = text(feature, "kind");
  const [cx, cy] = [x + w / 2, y + h / 2];
  const r = Math.min(w, h) * 0.22;
  if (/face|edge/.test(kind)) return `M${px(x)} ${px(y)}h${px(w)}`;
  if (/hole|tapped|bore|boss|ring/.test(kind))
    return `${ring(cx, cy, r)}M${px(cx - r - 5)} ${px(cy)}h${px(2 * r + 10)}M${px(cx)} ${px(cy - r - 5)}v${px(2 * r + 10)}`;
  return kind === "slot" ? box(cx - w * 0.3, cy - 4, w * 0.6, 8) : "";
}

/**
 * Readings along the part's upper edge, joined straight: nobody measured between. As the worksheets
 * draw it with the indicator before the face: what stands out towards it lies lower.
 */
function profile(reads: readonly number[], x: number, y: number, w: number): string {
  const most = Math.max(...reads.map(Math.abs));
  if (reads.length < 2 || !(most > 0)) return ""; // none, or one that is no number
  const at = reads.map((n, i): [number, number] => [
    x + (w * (i + 0.5)) / reads.length,
    y + 8 + (n / most) * 6,
  ]);
  const line = at.map(([ax, ay], i) => `${i ? "L" : "M"}${px(ax)} ${px(ay)}`).join("");
  return line + at.map(([ax, ay]) => ring(ax, ay, 1.6)).join("");
}

export function sceneOf(given: {
  fixture?: Rec | undefined;
  part?: Rec | undefined;
  feature?: Rec | undefined;
  down: string;
  /** Readings in thousandths, left to right, + where it stands out towards the indicator. */
  reads: readonly number[];
}): Scene {
  const { fixture, part, feature, down, reads } = given;
  const kind = text(fixture, "kind");
  const face = rows(fixture, "faces")[0];
  const plate = kind === "angle" && {
    w: rough(face?.["wide"]) ?? rough(text(fixture, "wide")) ?? 18,
    h: rough(face?.["high"]) ?? rough(text(fixture, "high")) ?? 14,
  };
  const known = partSize(part, down);
  const [pw, ph] = known ?? (plate ? [plate.w * 0.6, plate.h * 0.5] : [14, 7]);
  const under = kind === "parallel" || kind === "vblock" ? 8 : kind === "rotary" || kind === "table" ? 7 : 0;
  const space = FLOOR - TOP - under;
  // One scale for both, with room for jaws or straps beside a part without a plate; never so small
  // that the lesser cannot be seen.
  const scale = Math.min(
    (plate ? 170 : 124) / Math.max(pw, plate ? plate.w : 0),
    space / Math.max(ph, plate ? plate.h : 0),
  );
  const [w, h] = [Math.max(16, pw * scale), Math.max(10, ph * scale)];
  const x = (W - w) / 2;
  const y = FLOOR - under - h;
  const scene: Scene = { metal: box(6, FLOOR, W - 12, 8), part: "", ink: "", thin: "", dye: "" };
  if (plate) {
    const [fw, fh] = [plate.w * scale, plate.h * scale];
    const [fx, fy] = [(W - fw) / 2, FLOOR - fh];
    scene.metal += box(fx, fy, fw, fh);
    const [left, bottom] = [rough(face?.["left"]) ?? -plate.w / 2, rough(face?.["bottom"]) ?? -plate.h / 2];
    for (const hole of rows(fixture, "holes").slice(0, 40)) {
      const [hx, hy] = [rough(hole["x"]), rough(hole["y"])];
      if (hx === undefined || hy === undefined || (hole["face"] ?? "") !== (face?.["face"] ?? "")) continue;
      const [ax, ay] = [fx + (hx - left) * scale, FLOOR - (hy - bottom) * scale];
      if (ax > fx && ax < fx + fw && ay > fy && ay < FLOOR) scene.thin += ring(ax, ay, 1.8);
    }
  } else if (kind === "vise" || kind === "chuck") {
    const jaw = Math.max(14, Math.min(30, h * 0.6));
    scene.metal += box(x - 22, FLOOR - jaw, 22, jaw) + box(x + w, FLOOR - jaw, 22, jaw);
    if (kind === "vise")
      scene.ink += `M${px(x + w + 22)} ${px(FLOOR - jaw / 2)}h14M${px(x + w + 36)} ${px(FLOOR - jaw / 2 - 4)}v8`;
  } else if (kind === "vblock") {
    for (const at of [x + w * 0.2, x + w * 0.8]) scene.metal += `M${px(at - 10)} ${FLOOR}v-12l10 6 10-6v12z`;
  } else if (under > 0) {
    if (kind === "parallel")
      scene.metal +=
        box(x + w * 0.12, FLOOR - under, 12, under) + box(x + w * 0.88 - 12, FLOOR - under, 12, under);
    else scene.metal += box(Math.max(10, x - 24), FLOOR - under, Math.min(W - 20, w + 48), under);
  }
  if (!kind || kind === "table" || kind === "parallel" || kind === "rotary" || kind === "other") {
    // Straps at both ends, each with its step block and stud.
    const mid = y + h * 0.5;
    for (const [end, out] of [
      [x, -1],
      [x + w, 1],
    ] as const) {
      scene.ink += `M${px(end - out * 6)} ${px(mid)}H${px(end + out * 18)}V${FLOOR - (kind === "parallel" ? 0 : under)}M${px(end + out * 8)} ${px(mid - 5)}v10`;
    }
  }
  scene.part = box(x, y, w, h);
  scene.dye = profile(reads, x, y, w) || about(feature, x, y, w, h);
  return scene;
}
