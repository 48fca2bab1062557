import { useEffect, useRef, useState } from "preact/hooks";
import { nameOf, text, type Rec } from "../records/fields";
import type { Repository } from "../records/repository";
import { dropShared, putBack, shared, type Shared } from "../storage/shared";
import { useApp } from "../screen/context";
import { goOver } from "../screen/here";
import { book, href } from "../screen/route";
import { runningIn } from "../screen/running";
import { Button } from "../ui/controls";
import { Blank, FaultLine } from "../ui/parts";
import { B } from "../text/jobbook";
import { dots, W } from "../text/words";
import { keepPhoto } from "./photos";
import { Gate, storeFault, takeBack, useRepository } from "./use";

const S = B.shared;

/** The setups to choose from: the one that runs, those to come, those that are done; the last touched first. */
export function setupsToAsk(repo: Repository): Rec[] {
  const order = (s: Rec): number => ["running", "planned", "done"].indexOf(text(s, "state") || "planned");
  return repo.all("setup").sort((a, b) => order(a) - order(b) || (a.changed < b.changed ? 1 : -1));
}

const jobOf = (repo: Repository, setup: Rec): string => {
  const job = repo.get(text(setup, "job"));
  return job ? nameOf(job) : "";
};

/** Asks which setup it is for. */
function Which({ repo, title, pick }: { repo: Repository; title: string; pick: (setup: Rec) => void }) {
  const all = setupsToAsk(repo);
  return (
    <>
      <h2 class="which">{title}</h2>
      <ul class="link-list">
        {all.map((s) => (
          <li key={s.id}>
            <button type="button" class={`link-card state-${text(s, "state")}`} onClick={() => pick(s)}>
              <b>{nameOf(s) || B.unnamed}</b>
              <span>{dots(jobOf(repo, s), text(s, "state"))}</span>
            </button>
          </li>
        ))}
      </ul>
      <Button go={all.length === 0} label={W.home.newSetup} href={book("begin")} />
    </>
  );
}

/** Readings from the home screen: of the setup that runs, else of the one that is chosen. */
export function ReadNow() {
  const { repo, ready, fault } = useRepository("setup", "job");
  const running = repo && ready ? runningIn(repo)?.id : undefined;
  useEffect(() => {
    if (running) goOver(book("readings", running));
  }, [running]);
  return (
    <Gate ready={ready && !running} fault={fault}>
      <div class="narrow">
        <Which repo={repo!} title={W.home.none} pick={(s) => goOver(book("readings", s.id))} />
      </div>
    </Gate>
  );
}

/** Keeps what was shared with a setup. What cannot be kept stays, with the reason. */
async function keepAll(repo: Repository, setup: Rec, all: readonly Shared[]) {
  const kept: Rec[] = [];
  const faults: Record<string, string> = {};
  for (const p of all) {
    try {
      kept.push(await keepPhoto(repo, setup.id, "", p.file, { ms: p.ms, chance: p.chance }));
    } catch (err) {
      // It was kept before the app stopped: only to be taken out.
      if ((err as { status?: number }).status !== 409) {
        faults[p.chance] = (err as Error).name === "NoPicture" ? (err as Error).message : storeFault(err);
        continue;
      }
    }
    await dropShared(p);
  }
  return { kept, faults };
}

/**
 * A photo that came from elsewhere on the phone: it goes to the setup that runs, else to the one that
 * is chosen. Until then it waits in its box.
 */
export function SharedPhotos({ more }: { more: Record<string, string> }) {
  const { say } = useApp();
  const { repo, ready, fault } = useRepository("setup", "job");
  const [list, setList] = useState<Shared[]>();
  const [faults, setFaults] = useState<Record<string, string>>({});
  const [trouble, setTrouble] = useState(S.as[more["as"] ?? ""] ?? "");
  const [busy, setBusy] = useState(false);
  const once = useRef(more["as"] === "now");
  const look = () => shared().then(setList, (err: unknown) => setTrouble(storeFault(err)));
  useEffect(() => void look(), []);
  const keep = async (setup: Rec) => {
    if (busy || !list) return;
    setBusy(true);
    try {
      const { kept, faults } = await keepAll(repo!, setup, list);
      setFaults(faults);
      if (kept.length > 0)
        say(S.done(kept.length), () => takeBack(say, Promise.all(kept.map((rec) => repo!.remove(rec)))));
      if (Object.keys(faults).length === 0) return goOver(book("setup", setup.id));
    } catch (err) {
      setTrouble(storeFault(err));
    } finally {
      setBusy(false);
    }
    await look();
  };
  const running = repo && ready ? runningIn(repo) : undefined;
  const now = once.current && ready && !!list;
  useEffect(() => {
    if (!now) return;
    once.current = false;
    if (running) void keep(running);
    // eslint-disable-next-line react-hooks/exhaustive-deps -- what was shared just now is kept once
  }, [now]);
  const drop = (p: Shared) => {
    dropShared(p).then(
      () => say(S.dropped, () => takeBack(say, putBack(p).then(look))),
      (err: unknown) => setTrouble(storeFault(err)),
    );
    setList(list?.filter((one) => one !== p));
  };
  return (
    <Gate ready={ready && !!list && !now && !busy} fault={fault}>
      <div class="narrow">
        <FaultLine id="shared-fault" text={trouble || undefined} />
        {list?.length ? (
          <>
            <ul class="shared-photos">
              {list.map((p) => (
                <li key={p.chance}>
                  <Thumb file={p.file} />
                  <FaultLine id={`shared-${p.chance}`} text={faults[p.chance]} />
                  <Button label={S.drop} act={() => drop(p)} />
                </li>
              ))}
            </ul>
            <Which
              repo={repo!}
              title={repo?.all("setup").length ? S.which : S.noSetup}
              pick={(s) => void keep(s)}
            />
          </>
        ) : (
          <Blank kind="empty" title={S.none}>
            <Button go label={W.fault.start} href={href({ page: "home" })} />
          </Blank>
        )}
      </div>
    </Gate>
  );
}

function Thumb({ file }: { file: Blob }) {
  const [url, setUrl] = useState("");
  useEffect(() => {
    const made = URL.createObjectURL(file);
    setUrl(made);
    return () => URL.revokeObjectURL(made);
  }, [file]);
  return <span class="thumb">{url ? <img src={url} alt={B.photo.unnamed} /> : null}</span>;
}
