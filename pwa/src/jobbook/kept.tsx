import { byMade, type Rec } from "../records/fields";
import type { Kept } from "../records/kept";
import type { Sheet } from "../engine/contract.gen";
import { book } from "../screen/route";
import { useApp, useLoaded, when } from "../screen/context";
import { LinkCard, LinkList, Figure, Sign } from "../ui/parts";
import { B } from "../text/jobbook";
import { dots } from "../text/words";
import { headline, levelOf, mains } from "../worksheet/answer";
import { useRepository } from "./use";

const MOST = 40;

/** Results kept for one job or setup, newest first, in a few words each. */
export function KeptList({ of, none }: { of: (k: Rec) => boolean; none: string }) {
  const { book: records, describe } = useApp();
  const { repo, ready, fault } = useRepository("kept");
  const mine = (repo?.all("kept") ?? []).filter(of).sort((a, b) => byMade(b, a));
  const ids = mine.slice(0, MOST).map((r) => r.id);
  const list = useLoaded(
    () =>
      records &&
      Promise.all(ids.map((id) => records.get(id))).then((all) =>
        all.filter((k): k is Kept => k !== undefined),
      ),
    [records, ids.join(), mine.map((r) => r.changed).join()],
  );
  const trouble = fault || list.fault;
  if (trouble) return <p class="quiet">{trouble}</p>;
  if (!ready || (ids.length > 0 && !list.value)) return <p class="quiet">{B.loading}</p>;
  if (mine.length === 0) return <p class="quiet">{none}</p>;
  return (
    <LinkList line="kept-line">
      {list.value?.map((k) => (
        <KeptDoor key={k._id} k={k} sheet={describe?.worksheets.find((s) => s.name === k.worksheet)} />
      ))}
    </LinkList>
  );
}

/** A kept result in a few words. */
function KeptDoor({ k, sheet }: { k: Kept; sheet: Sheet | undefined }) {
  const readable = !!k.answer?.results && !!k.answer.cautions;
  const what = sheet?.inputs.find((i) => i.required && i.kind !== "table")?.key ?? "";
  const first = readable && sheet ? mains(sheet, k.answer).find((m) => m.result.kind !== "text") : undefined;
  return (
    <LinkCard
      href={book("compare", k._id)}
      name={
        <>
          {readable && <Sign level={levelOf(k.answer)} size={22} />} {k.inputs[what] ?? ""}{" "}
          {sheet?.title ?? k.worksheet}
        </>
      }
      lines={[
        readable && sheet && headline(sheet, k.answer).text,
        first && [first.result.label, " ", <Figure text={first.found.text} />],
      ]}
      foot={dots(k.measured && `${B.kept.measured} ${k.measured}`, k.note, when(k.created))}
    />
  );
}
