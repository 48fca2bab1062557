import { useEffect, useState } from "preact/hooks";
import type { Rec } from "../records/fields";
import type { Clash } from "../records/rules";
import type { Repository } from "../records/repository";
import { useApp, when } from "../screen/context";
import { Button } from "../ui/controls";
import { Sign } from "../ui/parts";
import { B } from "../text/jobbook";
import { saying } from "./saying";
import { NeedsLook } from "./look";
import { storeFault, tell, useKinds, useWho } from "./use";

/** Where two devices wrote different things: both are shown until someone chooses. */
export function Clashes({ repo, rec }: { repo: Repository; rec: Rec }) {
  const { say } = useApp();
  const { kinds } = useKinds(repo);
  const who = useWho();
  const [list, set] = useState<Clash[]>([]);
  const many = rec.clashes.map((key) => `${key} ${String(rec.heads[key])}`).join();
  useEffect(() => {
    if (!many) return set([]);
    let live = true;
    repo.clashes(rec.id).then(
      (c) => live && set(c),
      (err: unknown) => live && say(storeFault(err)),
    );
    return () => {
      live = false;
    };
    // eslint-disable-next-line react-hooks/exhaustive-deps -- the shell makes say anew each time
  }, [repo, rec.id, many, rec.changed]);
  if (list.length === 0) return null;
  const fields = kinds.find((k) => k.key === rec.kind)?.fields ?? [];
  return (
    <section class="clashes" aria-label={B.clash.count(list.length)}>
      <p class="warn warn-caution">
        <Sign level="caution" />
        <span>{B.clash.title}</span>
      </p>
      {list.map((c) => {
        const field = fields.find((f) => f.key === c.field.split("#")[0]);
        return (
          <fieldset class="card" key={c.field}>
            <legend>{c.label}</legend>
            {c.values.map((v) => {
              const gone = c.field === "gone";
              const drop = gone && v.v === true;
              const told = !gone
                ? v.v === null
                  ? B.clash.cleared
                  : saying(field, v.v, v.unit, repo)
                : drop
                  ? B.clash.deleted
                  : c.seen.includes(v.id)
                    ? B.clash.back
                    : B.clash.changed;
              const choose = () => {
                const unit = v.unit === "in" || v.unit === "mm" ? v.unit : undefined;
                // The choice covers exactly the values that stand here, a deletion the whole record.
                const heads = { ...(gone && rec.heads), [c.field]: c.seen };
                const value = gone && !drop ? null : v.v;
                tell(
                  say,
                  repo.change({ id: rec.id, heads, clashes: [c.field] }, { [c.field]: value }, unit),
                  drop ? B.clash.dropped : gone ? B.clash.kept : B.clash.chosen,
                );
              };
              return (
                <div class="clash-line" key={v.id}>
                  <p>
                    <b>{told}</b>
                    <small class="quiet">{B.clash.said(who(v.by), when(v.at))}</small>
                  </p>
                  <Button label={drop ? B.clash.drop : gone ? B.clash.keep : B.clash.use} act={choose} />
                </div>
              );
            })}
          </fieldset>
        );
      })}
    </section>
  );
}

/** Says that a record is deleted, and restores it; or that it needs a look. */
export function Gone({ repo, rec }: { repo: Repository; rec: Rec }) {
  return (
    <>
      <NeedsLook repo={repo} rec={rec} />
      <GoneOrNewer repo={repo} rec={rec} />
    </>
  );
}

function GoneOrNewer({ repo, rec }: { repo: Repository; rec: Rec }) {
  const { say } = useApp();
  if (rec.newer) {
    return (
      <p class="warn warn-note">
        <Sign level="note" />
        <span>{B.newer}</span>
      </p>
    );
  }
  if (!rec.gone) return null;
  return (
    <div class="warn warn-caution gone">
      <Sign level="caution" />
      <p>{B.deleted}</p>
      <Button label={B.bringBack} act={() => tell(say, repo.restore(rec), B.broughtBack)} />
    </div>
  );
}
