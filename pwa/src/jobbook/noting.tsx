import { nameOf } from "../records/fields";
import { useTitle } from "../screen/context";
import { Blank } from "../ui/parts";
import { B } from "../text/jobbook";
import { recordHref } from "./facts";
import { AddNote } from "./notes";
import { Gate, useShelf } from "./use";

/** A note on its own page, ready to write: one touch from the mill. */
export function Noting({ id }: { id: string }) {
  const { shelf, ready, fault } = useShelf(id.slice(0, id.indexOf(":")));
  const rec = shelf?.get(id);
  useTitle(rec ? `${B.note.text}: ${nameOf(rec)}` : "");
  return (
    <Gate ready={ready} fault={fault}>
      {rec ? (
        <section class="card narrow">
          <AddNote shelf={shelf!} about={id} done={() => (location.hash = recordHref(id))} focus />
        </section>
      ) : (
        <Blank kind="empty" title={B.gone} help={B.goneHelp} />
      )}
    </Gate>
  );
}
