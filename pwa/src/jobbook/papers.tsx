import type { Rec } from "../records/fields";
import { useApp } from "../screen/context";
import { book } from "../screen/route";
import { Button } from "../ui/controls";
import { B } from "../text/jobbook";
import { Card } from "./parts";
import { useKinds } from "./use";

/** Links to a record's printed pages and its export. */
export function Papers({ rec }: { rec: Rec }) {
  const { book: records } = useApp();
  const { kinds } = useKinds(records?.repo);
  const pages = kinds.find((k) => k.key === rec.kind)?.pages.filter((what) => B.papers[what]) ?? [];
  if (pages.length === 0) return null;
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
