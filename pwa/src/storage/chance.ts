/** Random hex digits. */
export function chance(digits: number): string {
  const bytes = crypto.getRandomValues(new Uint8Array(Math.ceil(digits / 2)));
  return [...bytes]
    .map((b) => b.toString(16).padStart(2, "0"))
    .join("")
    .slice(0, digits);
}
