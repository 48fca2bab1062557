import type { Rec } from "../records/fields";
import { book } from "../screen/route";
import { B } from "../text/jobbook";

/** Which pages there are of a record. */
const PAGES: Record<string, string[]> = {
  job: ["holes", "inspection", "job", "label"],
  part: ["holes", "inspection"],
  fixture: ["card", "holes", "label"],
  machine: ["card", "label"],
};

/** The ways a record goes on paper and out. */
export function Papers({ rec }: { rec: Rec }) {
  const pages = PAGES[rec.kind];
  if (!pages) return null;
  return (
    <section class="card" aria-label={B.setup.print}>
      <h2>{B.setup.print}</h2>
      <p class="foot-links">
        {pages.map((what) => (
          <a key={what} class="button" href={book("print", `${what}/${rec.id}`)}>
            {B.papers[what]}
          </a>
        ))}
        {rec.kind === "job" && (
          <a class="button" href={book("files", "", { job: rec.id })}>
            {B.papers["file"]}
          </a>
        )}
      </p>
    </section>
  );
}
