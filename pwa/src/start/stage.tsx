import { loadDraft } from "../form/drafts";
import { useApp, useTitle } from "../screen/context";
import { entriesOf, usePages, type Entry, type Known } from "../screen/pages";
import { href } from "../screen/route";
import { Button } from "../ui/controls";
import { Blank } from "../ui/parts";
import { Pictogram } from "../ui/pictograms";
import { W } from "../text/words";

/** So many pages are tiles; the rest are names. */
const TILES = 4;

/** Whether something is typed on a page and not yet kept. */
const hasDraft = ({ sheets }: Entry): boolean =>
  sheets.some((sheet) => Object.values(loadDraft(sheet)?.inputs ?? {}).some((text) => text !== ""));

export const hasDraftIn = (known: Known, stage: string): boolean => entriesOf(known, stage).some(hasDraft);

/** The pages of a stage, what is used most as tiles. */
export function Stage({ stage }: { stage: string }) {
  const { describeFault, again } = useApp();
  const known = usePages();
  useTitle(known?.stages.find((s) => s.key === stage)?.title ?? "");
  if (!known)
    return describeFault ? (
      <Blank kind="broken" title={W.home.failed} help={describeFault}>
        <Button go label={W.home.again} act={again} />
      </Blank>
    ) : (
      <Blank kind="loading" title={W.home.loading} />
    );
  if (!known.stages.some((s) => s.key === stage))
    return (
      <Blank kind="empty" title={W.home.noStage}>
        <Button go label={W.fault.start} href={href({ page: "home" })} />
      </Blank>
    );
  const all = entriesOf(known, stage);
  return (
    <div class="narrow stage">
      <div class="page-tiles">
        {all.slice(0, TILES).map((e) => (
          <PageKey key={e.sheet} e={e} tile />
        ))}
      </div>
      <div class="page-names">
        {all.slice(TILES).map((e) => (
          <PageKey key={e.sheet} e={e} />
        ))}
      </div>
    </div>
  );
}

function PageKey({ e, tile }: { e: Entry; tile?: boolean }) {
  return (
    <a class={tile ? "tile" : "page-name"} href={href({ page: "sheet", sheet: e.sheet })}>
      <Pictogram name={e.icon} or={e.stage} size={tile ? 40 : 32} />
      <span>{e.title}</span>
      {hasDraft(e) && <span class="draft" role="img" aria-label={W.home.draft} />}
    </a>
  );
}
