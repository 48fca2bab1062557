/** Placing and fitting for the drawings: pure numbers, tested without a screen. */

/** Pixels per unit so that a size fits into a room, never more than most. */
export function fitScale(
  size: { w: number; h: number },
  room: { w: number; h: number },
  most = Infinity,
): number {
  const by = [most];
  if (size.w > 0) by.push(room.w / size.w);
  if (size.h > 0) by.push(room.h / size.h);
  const s = Math.min(...by);
  return Number.isFinite(s) && s > 0 ? s : 0;
}

/**
 * Moves labels apart along one axis: each keeps at least its gap to the next, stays within [low,
 * high] where there is room, keeps its order, and moves as little as need be (pools of touching
 * labels centred on where they want to be).
 */
export function spread(wanted: readonly number[], gap: number, low: number, high: number): number[] {
  const order = wanted.map((y, i) => ({ y, i })).sort((p, q) => p.y - q.y || p.i - q.i);
  interface Pool {
    sum: number;
    n: number;
    start: number;
  }
  const pools: Pool[] = [];
  const place = (p: Pool): number => {
    const span = (p.n - 1) * gap;
    const free = p.sum / p.n - span / 2;
    return Math.max(low, Math.min(free, high - span));
  };
  for (const item of order) {
    let pool: Pool = { sum: item.y, n: 1, start: 0 };
    pool.start = place(pool);
    for (;;) {
      const before = pools.at(-1);
      if (!before || before.start + before.n * gap <= pool.start) break;
      pools.pop();
      pool = { sum: before.sum + pool.sum, n: before.n + pool.n, start: 0 };
      pool.start = place(pool);
    }
    pools.push(pool);
  }
  const out = new Array<number>(wanted.length);
  let k = 0;
  for (const p of pools) {
    for (let j = 0; j < p.n; j++) out[order[k++]!.i] = p.start + j * gap;
  }
  return out;
}

/** One decimal of a pixel is enough, and keeps the page small. */
export const px = (n: number): number => Math.round(n * 10) / 10;

/** An SVG path through points. */
export function path(points: readonly (readonly [number, number])[], close = false): string {
  return points.map(([x, y], i) => `${i === 0 ? "M" : "L"}${px(x)} ${px(y)}`).join("") + (close ? "Z" : "");
}

/**
 * A broken edge, as a draughtsman ends a part that goes on: a line with shallow waves from (x, y0)
 * to (x, y1).
 */
export function brokenEdge(x: number, y0: number, y1: number, wave = 4): string {
  const n = Math.max(2, Math.round((y1 - y0) / 26));
  const step = (y1 - y0) / n;
  let d = `M${px(x)} ${px(y0)}`;
  for (let i = 0; i < n; i++) {
    const side = i % 2 === 0 ? wave : -wave;
    d += `Q${px(x + side)} ${px(y0 + (i + 0.5) * step)} ${px(x)} ${px(y0 + (i + 1) * step)}`;
  }
  return d;
}
