import { useEffect, useState } from "preact/hooks";
import { askAddresses } from "../sync/office";
import { forgetPairing, readOffice, readPairing } from "../sync/pairing";
import { storageState } from "../storage/persist";
import type { Trouble } from "../sync/status";
import { book as toBook, href } from "../screen/route";
import { useApp, when } from "../screen/context";
import { Blank, Fold, Sign } from "../ui/parts";
import { W } from "../text/words";
import { OneFile, Room } from "../start/settings";
import { Twice, useSync } from "./use";
import { pairable } from "../sync/connection";
import { O } from "../text/office";

const S = O.where;

/** Where the records are, what keeps them from the office, and every way out. */
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
        {state.note && (
          <div class="warn warn-note">
            <Sign level="note" />
            <p>{state.note}</p>
          </div>
        )}
        {state.trouble.map((t, i) => (
          <TroubleLine key={t.id ?? i} trouble={t} />
        ))}
        {may && state.waiting > 0 && (
          <div class="warn warn-caution">
            <Sign level="caution" />
            <p>{S.evict}</p>
          </div>
        )}
        <div class="form-foot">
          <button type="button" class="button go" disabled={!book} onClick={() => book?.syncNow()}>
            {S.try}
          </button>
        </div>
      </section>
      {expired && (
        <div class="warn warn-refuse">
          <Sign level="refuse" />
          <p>
            {S.expired(when(office.until))} {S.wrongClock}
          </p>
        </div>
      )}
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

function TroubleLine({ trouble: t }: { trouble: Trouble }) {
  const { say } = useApp();
  return (
    <div class="warn warn-caution">
      <Sign level="caution" />
      <div>
        <p>{t.text}</p>
        {t.id && (
          <a class="button" href={toBook("record", t.id)}>
            {S.record}
          </a>
        )}
        {t.wall && pairable.includes(t.wall) && (
          <a class="button" href={href({ page: "office", view: "pair" })}>
            {S.pair}
          </a>
        )}
        {t.wall === "newer" && (
          <button
            type="button"
            class="button"
            onClick={() => {
              void navigator.serviceWorker
                ?.getRegistration()
                .then((r) => r?.update())
                .catch(() => undefined); // out of reach: it is looked for again by itself
              say(S.updated);
            }}
          >
            {S.update}
          </button>
        )}
      </div>
    </div>
  );
}

/** What this device is at the office. */
function Me() {
  const { book, say } = useApp();
  const [pairing, set] = useState(readPairing);
  return (
    <section class="card">
      <h2>{O.me.title}</h2>
      <p>{pairing ? O.me.as(pairing.name, pairing.role) : O.me.none}</p>
      <div class="form-foot">
        <a class="button" href={href({ page: "office", view: "pair" })}>
          {pairing ? O.me.again : S.pair}
        </a>
        {(!pairing || pairing.role === "owner") && (
          <a class="button" href={href({ page: "office", view: "office" })}>
            {O.me.office}
          </a>
        )}
        {pairing && (
          <Twice
            label={O.me.forget}
            sure={O.me.forgetSure}
            leave={O.me.leave}
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
