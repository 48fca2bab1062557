// What a form showed when it was filled, kept in its draft: after a reload it covers no more than
// before.
import type { Shown } from "../records/repository";

/** For the further texts of a draft. */
export const keepShown = ({ heads, clashes }: Shown): Record<string, string> => ({
  shown: JSON.stringify({ heads, clashes }),
});

/** From a draft's further texts; undefined where they do not say, as those of earlier versions. */
export function shownIn(id: string, more: Record<string, string> | undefined): Shown | undefined {
  try {
    const { heads, clashes } = JSON.parse(more?.["shown"] ?? "null") as Shown;
    return heads && Array.isArray(clashes) ? { id, heads, clashes } : undefined;
  } catch {
    return undefined;
  }
}
