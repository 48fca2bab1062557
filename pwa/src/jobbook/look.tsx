import { useEffect, useState } from "preact/hooks";
import type { FieldFault } from "../engine/contract.gen";
import { nameOf, ownersOf, readDoc, type Rec } from "../records/fields";
import { handOver } from "../records/handover";
import type { Repository } from "../records/repository";
import { book, recordHref } from "../screen/route";
import { useApp, useLoaded } from "../screen/context";
import { Button } from "../ui/controls";
import { Blank, LinkCard, LinkList, Sign } from "../ui/parts";
import { B } from "../text/jobbook";
import { clashWords } from "./saying";
import { Gate, Remove, storeFault, useKinds, useRepository } from "./use";

const L = B.look;

/** Leads to the records that need a look or a choice; nothing where there are none. */
export function LookDoor({ repo }: { repo: Repository | undefined }) {
  const n = repo?.strange().length ?? 0;
  const choose = repo?.unsettled().length ?? 0;
  const stranded = repo?.stranded().length ?? 0;
  if (n + choose + stranded === 0) return null;
  const says = [n > 0 && L.door(n), choose > 0 && L.choose(choose), stranded > 0 && L.stranded(stranded)];
  return (
    <div class="warn warn-caution gone look-door">
      <Sign level="caution" />
      <p>{says.filter(Boolean).join(". ")}</p>
      <Button label={L.show} href={book("look")} />
    </div>
  );
}

/** On a record's own page: that part of it cannot be read, or that its copies stay apart. */
export function NeedsLook({ repo, rec }: { repo: Repository; rec: Rec }) {
  const apart = repo.whyApart(rec.id);
  if (!rec.odd && !apart) return null;
  return (
    <div class="warn warn-caution gone">
      <Sign level="caution" />
      <p>{apart ? L.apart(apart) : L.odd}</p>
      <Button label={L.show} href={book("look")} />
    </div>
  );
}

/** Records of which something cannot be read, of every kind: each can be saved and deleted. */
export function Look() {
  const { repo, ready, fault } = useRepository();
  const [whole, setWhole] = useState(false);
  const [trouble, setTrouble] = useState("");
  useEffect(() => {
    if (!repo) return;
    let live = true;
    // Also those of kinds that no page loads.
    repo
      .walk(() => undefined)
      .then(
        () => live && setWhole(true),
        (err: unknown) => live && setTrouble(storeFault(err)),
      );
    return () => {
      live = false;
    };
  }, [repo]);
  const list = repo?.strange() ?? [];
  const choose = repo?.unsettled() ?? [];
  const stranded = repo?.stranded() ?? [];
  return (
    <Gate ready={ready && (whole || !!trouble)} fault={fault}>
      <div class="narrow">
        {trouble && <p class="warn warn-caution">{trouble}</p>}
        {choose.length > 0 && (
          <>
            <p class="quiet">{L.chooseIntro}</p>
            <LinkList>
              {choose.map((r) => (
                <LinkCard
                  key={r.id}
                  href={recordHref(r.id)}
                  name={nameOf(r) || B.unnamed}
                  lines={[clashWords(r)]}
                />
              ))}
            </LinkList>
          </>
        )}
        {stranded.length > 0 && (
          <>
            <p class="quiet">{L.strandedIntro}</p>
            <LinkList>
              {stranded.map((r) => (
                <LinkCard
                  key={r.id}
                  href={recordHref(r.id)}
                  name={nameOf(r) || B.unnamed}
                  lines={ownersOf(r)
                    .map((id) => repo!.get(id))
                    .flatMap((over) => (over?.gone ? B.setup.ofGone(nameOf(over) || B.unnamed) : []))}
                />
              ))}
            </LinkList>
          </>
        )}
        {list.length === 0 ? <Blank kind="empty" title={L.none} /> : <p class="quiet">{L.intro}</p>}
        <ul class="trash">
          {list.map((r) => (
            <li key={r.id} class="card">
              <One repo={repo!} rec={r} />
            </li>
          ))}
        </ul>
      </div>
    </Gate>
  );
}

function One({ repo, rec }: { repo: Repository; rec: Rec }) {
  const { book: records, load, say } = useApp();
  const { kinds } = useKinds(repo);
  const [sure, setSure] = useState(false);
  const kind = kinds.find((k) => k.key === rec.kind);
  const checked = useLoaded(async () => {
    const doc = await repo.doc(rec.id);
    return (await repo.ask<{ faults: FieldFault[] }>("check", { doc })).faults.map((f) => f.message);
  }, [repo, rec]);
  const fail = (err: unknown) => say(storeFault(err));
  const save = async () => {
    const { rescueRecords } = await load.transfer();
    const { file } = await rescueRecords(repo, records!.name, [rec.id]);
    const handed = await handOver(file);
    if (handed === "saved" || handed === "shared") say(L.saved(file.name));
    if (handed === "again") say(L.again);
  };
  const erase = async () => {
    if (!sure) return setSure(true);
    await repo.erase(rec.id, (doc) => !!readDoc(doc)?.odd);
    say(L.erased);
  };
  // What the rules can change is deleted like any other record; the rest only for good.
  const known = kind && !rec.newer && rec.id.startsWith(`${rec.kind}:`) && Object.keys(rec.heads).length > 0;
  return (
    <>
      <div>
        <b>{nameOf(rec) || kind?.label || B.unnamed}</b>
        <code class="quiet record-id">{rec.id}</code>
        <p>{repo.whyApart(rec.id) ? L.apart(repo.whyApart(rec.id)) : (checked.value?.[0] ?? L.odd)}</p>
      </div>
      <p class="foot-links">
        {kind && <Button label={L.open} href={recordHref(rec.id)} />}
        <Button label={L.save} act={() => void save().catch(fail)} />
        {known ? (
          <Remove repo={repo} rec={rec} name={nameOf(rec) || B.unnamed} />
        ) : (
          <Button label={sure ? L.sure : L.erase} act={() => void erase().catch(fail)} />
        )}
      </p>
    </>
  );
}
