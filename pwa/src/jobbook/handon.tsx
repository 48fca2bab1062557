import { nameOf, type Rec } from "../records/fields";
import type { Repository } from "../records/repository";
import { book } from "../screen/route";
import { useApp } from "../screen/context";
import { Button } from "../ui/controls";
import { B } from "../text/jobbook";
import { mark } from "./use";

/** With all its steps done the next setup of the job takes over. */
export function HandOn({
  repo,
  setup,
  next,
  class: looks,
}: {
  repo: Repository;
  setup: Rec;
  next: Rec;
  class?: string;
}) {
  const { say } = useApp();
  const act = () =>
    void mark(repo, next, "running", say, setup).then((done) => {
      if (done) location.hash = book("setup", next.id);
    });
  return (
    <Button go {...(looks && { class: looks })} label={B.setup.handOn(nameOf(next) || B.unnamed)} act={act} />
  );
}
