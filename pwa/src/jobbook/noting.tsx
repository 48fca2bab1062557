import type { Rec } from "../records/fields";
import type { Repository } from "../records/repository";
import { recordHref } from "../screen/route";
import { B } from "../text/jobbook";
import { AddNote } from "./notes";
import { ofRecord } from "./use";

/** A note on its own page, ready to write: one touch from the mill. */
export const Noting = ofRecord(Open, [], { title: (name) => `${B.mill.note}: ${name}` });

function Open({ repo, rec }: { repo: Repository; rec: Rec }) {
  return (
    <section class="card narrow">
      <AddNote repo={repo} about={rec.id} done={() => (location.hash = recordHref(rec.id))} focus />
    </section>
  );
}
