import type { Rec } from "../records/fields";
import { useApp } from "../screen/context";
import { book } from "../screen/route";
import { B } from "../text/jobbook";
import { useKinds } from "./use";

/** The ways a record goes on paper and out. */
export function Papers({ rec }: { rec: Rec }) {
  const { book: records } = useApp();
  const { kinds } = useKinds(records?.shelf);
  const pages = kinds.find((k) => k.key === rec.kind)?.pages.filter((what) => B.papers[what]) ?? [];
  if (pages.length === 0) return null;
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
