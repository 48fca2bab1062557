import type { Rec } from "../records/fields";
import { book } from "../screen/route";
import { Button } from "../ui/controls";
import { B } from "../text/jobbook";
import { Card } from "./parts";

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
    <Card title={B.setup.print}>
      <p class="foot-links">
        {pages.map((what) => (
          <Button key={what} label={B.papers[what]} href={book("print", `${what}/${rec.id}`)} />
        ))}
        {rec.kind === "job" && <Button label={B.papers["file"]} href={book("files", "", { job: rec.id })} />}
      </p>
    </Card>
  );
}
