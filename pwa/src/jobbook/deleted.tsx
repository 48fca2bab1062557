import { canonical, nameOf, readDoc, type Doc, type Rec } from "../records/fields";
import { useApp, when } from "../screen/context";
import { Button } from "../ui/controls";
import { Blank } from "../ui/parts";
import { B } from "../text/jobbook";
import { LookDoor } from "./look";
import { Gate, storeFault, tell, useKinds, useRepository, useWho } from "./use";

const ALL =
  "job part feature setup step reading note photo kept machine fixture tool gauge set material".split(" ");
const DAYS = 30;

/** Deleted still, and nothing was written since the list was shown. */
const stillGone = (doc: Doc, shown: Rec): boolean => {
  const now = readDoc(doc);
  return !!now?.gone && canonical(now.heads) === canonical(shown.heads);
};

/** Deleted records: each can be restored; they are purged only by hand and only after 30 days. */
export function Deleted() {
  const { say } = useApp();
  const { repo, ready, fault } = useRepository(...ALL);
  const { kinds } = useKinds(repo);
  const who = useWho();
  const list = ALL.flatMap((k) => repo?.all(k, true) ?? [])
    .filter((r) => r.gone)
    .sort((a, b) => (a.changed < b.changed ? 1 : -1));
  const left = (changed: string) => Math.ceil(DAYS - (Date.now() - new Date(changed).getTime()) / 86_400_000);
  const old = list.filter((r) => left(r.changed) <= 0);
  return (
    <Gate ready={ready} fault={fault}>
      <div class="narrow">
        <LookDoor repo={repo} />
        <p class="quiet">{B.trash.intro}</p>
        {list.length === 0 && <Blank kind="empty" title={B.trash.none} />}
        <ul class="trash">
          {list.slice(0, 300).map((r) => (
            <li key={r.id} class="card">
              <div>
                <b>{nameOf(r) || B.unnamed}</b>
                <small class="quiet">
                  {kinds.find((k) => k.key === r.kind)?.label}, {B.trash.by(who(r.by), when(r.changed))},{" "}
                  {B.trash.left(left(r.changed))}
                </small>
              </div>
              <Button label={B.bringBack} act={() => tell(say, repo!.restore(r), B.broughtBack)} />
            </li>
          ))}
        </ul>
        {old.length > 0 && (
          <>
            <p class="quiet">{B.trash.sure}</p>
            <Button
              label={B.trash.empty(old.length)}
              act={() => {
                const all = async () => {
                  let n = 0;
                  for (const r of old) if (await repo!.erase(r.id, (doc) => stillGone(doc, r))) n++;
                  say(B.trash.emptied(n));
                };
                all().catch((err: unknown) => say(storeFault(err)));
              }}
            />
          </>
        )}
      </div>
    </Gate>
  );
}
