import { useEffect, useState } from "preact/hooks";
import { askAddresses, calledHere, whoAmI } from "../sync/office";
import { forgetPairing, readOffice, readPairing } from "../sync/pairing";
import { storageState } from "../storage/persist";
import { Cure } from "../screen/cure";
import { href } from "../screen/route";
import { useApp, useSync, when } from "../screen/context";
import { Button } from "../ui/controls";
import { Blank, Fold, Warn } from "../ui/parts";
import { W } from "../text/words";
import { OneFile, Room } from "../start/settings";
import { Rename, Twice } from "./use";
import { O } from "../text/office";

const S = O.where;

/** Sync status, what keeps the records from the office, and every export. */
export function Where() {
  const { book, bookFault } = useApp();
  const state = useSync();
  const [may, setMay] = useState(false);
  const [office, setOffice] = useState(readOffice);
  const connected = state?.connected ?? false;
  useEffect(() => {
    storageState().then(
      (s) => setMay(s.kind !== "granted"),
      () => setMay(true),
    );
  }, []);
  useEffect(() => {
    if (connected) askAddresses(Date.now()).then(setOffice, () => undefined);
  }, [connected]);
  if (!state) {
    return bookFault ? (
      <Blank kind="broken" title={bookFault} />
    ) : (
      <Blank kind="loading" title={W.jobs.loading} />
    );
  }
  const expired = !connected && !!office?.until && Date.parse(office.until) < Date.now();
  const wall = state.trouble.find((t) => t.wall)?.wall ?? "";
  return (
    <div class="narrow settings">
      <section class="card">
        <h2>{state.words}</h2>
        {(state.connected || wall === "") && (
          <p>{state.connected ? (state.moving ? S.moving : S.answers) : S.silent}</p>
        )}
        <p>
          {S.waiting(state.waiting)}{" "}
          {state.confirmed === undefined ? S.never : S.last(when(new Date(state.confirmed).toISOString()))}
        </p>
        {state.note && <Warn level="note" text={state.note} />}
        {state.clock && <Warn level="note" text={state.clock} />}
        {state.trouble.map((t, i) => (
          <Warn key={t.id ?? i} level="caution">
            <div>
              <p>{t.text}</p>
              {(t.id ?? (t.wall && t.wall !== "office" && t.wall !== "full" && t.wall !== "stranger")) && (
                <Cure of={t} />
              )}
            </div>
          </Warn>
        ))}
        {may && state.waiting > 0 && <Warn level="caution" text={S.evict} />}
        <div class="form-foot">
          <Button go label={S.try} disabled={!book} act={() => book?.syncNow()} />
        </div>
      </section>
      {expired && <Warn level="refuse" text={`${S.expired(when(office.until))} ${S.wrongClock}`} />}
      {!connected && (wall === "" || wall === "stranger" || wall === "moved") && (
        <section class="card">
          <Fold title={S.away} open={wall !== ""}>
            <ul class="causes">
              {S.causes(office?.app ?? "").map((text) => (
                <li key={text}>{text}</li>
              ))}
            </ul>
          </Fold>
        </section>
      )}
      <Me />
      <Room />
      <OneFile />
    </div>
  );
}

/** What this device is at the office. */
function Me() {
  const { book, say } = useApp();
  const [pairing, set] = useState(readPairing);
  const connected = useSync()?.connected ?? false;
  useEffect(() => {
    if (!connected) return;
    whoAmI().then(
      (me) => {
        calledHere(me.device, me.name);
        set(readPairing());
      },
      () => undefined, // it is called what it was when it was last heard of
    );
  }, [connected]);
  return (
    <section class="card">
      <h2>{O.me.title}</h2>
      <p>{pairing ? O.me.as(pairing.name, pairing.role) : O.me.none}</p>
      <div class="form-foot">
        <Button label={pairing ? O.me.again : S.pair} href={href({ page: "office", view: "pair" })} />
        {(!pairing || pairing.role === "owner") && (
          <Button label={O.me.office} href={href({ page: "office", view: "office" })} />
        )}
        {pairing && connected && (
          <Rename id={pairing.device} name={pairing.name} done={() => set(readPairing())} />
        )}
        {pairing && (
          <Twice
            label={O.me.forget}
            sure={O.me.forgetSure}
            leave={O.office.leave}
            act={() => {
              forgetPairing();
              set(undefined);
              say(O.me.forgotten);
              book?.syncNow();
            }}
          />
        )}
      </div>
    </section>
  );
}
