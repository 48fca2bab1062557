/** What a typed length is in the other system, where that is cheap to say. Pure. */

const MM: Record<string, number> = { in: 25.4, '"': 25.4, thou: 0.0254, mm: 1, um: 0.001, cm: 10 };
const TERM = /^(?:(\d+)[- ])?(\d+)\/(\d+)$|^(\d*\.?\d+|\d+\.)$/;

/** Of a text whose bare number is in this unit: "31.75 mm". Nothing of what is no plain length. */
export function inOther(text: string, bare: string): string {
  const m = /^([-+]?)\s*([\d./ +-]*[\d.])\s*(in|"|thou|mm|um|cm)?$/i.exec(text.trim());
  if (!m) return "";
  const unit = (m[3] ?? bare).toLowerCase();
  const scale = MM[unit];
  if (!scale) return "";
  let sum = 0;
  for (const term of m[2]!.split("+")) {
    const n = TERM.exec(term.trim());
    if (!n) return "";
    const value = n[4] !== undefined ? Number(n[4]) : Number(n[1] ?? 0) + Number(n[2]) / Number(n[3]);
    if (!Number.isFinite(value)) return "";
    sum += value;
  }
  const mm = (m[1] === "-" ? -1 : 1) * sum * scale;
  const metric = unit === "mm" || unit === "um" || unit === "cm";
  if (metric) return `${(mm / 25.4).toFixed(unit === "um" ? 5 : 4).replace(/^(-?)0\./, "$1.")} in`;
  return `${mm.toFixed(unit === "thou" ? 3 : 2)} mm`;
}
