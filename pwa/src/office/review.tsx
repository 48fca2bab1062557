import { useCallback, useEffect, useState } from "preact/hooks";
import { askOffice } from "../sync/office";
import type { Wanted } from "../sync/remote";
import { browserHands } from "../records/handover";
import { book as toBook } from "../screen/route";
import { useApp, when, words } from "../screen/context";
import { Button } from "../ui/controls";
import { FaultLine, Fold } from "../ui/parts";
import { Twice } from "./use";
import { O } from "../text/office";

const S = O.look;

interface Flag {
  book: string;
  id: string;
  rev: string;
  reasons: string[];
  at: string;
  /** The device that sent it. */
  by?: string;
}

interface Refusal {
  number: string;
  book: string;
  id: string;
  reason: string;
  at: string;
  body?: unknown;
  text?: string;
}

/** What was sent, formatted for reading. */
const bodyOf = (r: Refusal): string =>
  r.body === undefined ? (r.text ?? "") : JSON.stringify(r.body, null, 2);

/**
 * Records that the rules object to, and quarantined documents. Nothing here is lost until it is
 * dropped.
 */
export function Look() {
  const { say } = useApp();
  const [list, setList] = useState<{ flags: Flag[]; refused: Refusal[] }>();
  const [lost, setLost] = useState<Wanted[]>([]);
  const [fault, setFault] = useState("");
  const load = useCallback(() => {
    askOffice<{ flags: Flag[]; refused: Refusal[] }>("GET", "/api/look").then(setList, (err: unknown) =>
      setFault(words(err)),
    );
    askOffice<{ wanted: Wanted[] }>("GET", "/api/wanted").then(
      ({ wanted }) => setLost(wanted),
      (err: unknown) => setFault(words(err)),
    );
  }, []);
  useEffect(load, [load]);
  const settle = async (what: object, done: string) => {
    setFault("");
    try {
      await askOffice("POST", "/api/look", what);
      say(done);
    } catch (err) {
      setFault(words(err));
    }
    load();
  };
  return (
    <section class="card" id="look">
      <h2>{S.title}</h2>
      <FaultLine id="look-fault" text={fault || undefined} />
      {list && list.flags.length + list.refused.length + lost.length === 0 && <p class="quiet">{S.none}</p>}
      {lost.length > 0 && <p class="help">{S.damaged}</p>}
      <ul class="device-list">
        {lost.map((w) => (
          <li key={w.id + w.rev + w.name}>
            <p>{S.copy(w.name)}</p>
            <p class="quiet address">{w.id}</p>
            <div class="form-foot">
              <Button label={S.open} href={toBook("record", w.id)} />
            </div>
          </li>
        ))}
      </ul>
      {list && list.flags.length > 0 && <p class="help">{S.flags}</p>}
      <ul class="device-list">
        {list?.flags.map((f) => (
          <li key={f.id + f.rev}>
            {f.reasons.map((r) => (
              <p key={r}>{r}</p>
            ))}
            <p class="quiet address">
              {f.id} · {S.at(when(f.at), f.by)}
            </p>
            <div class="form-foot">
              <Button label={S.open} href={toBook("record", f.id)} />
              <Button
                label={S.leave}
                act={() => void settle({ book: f.book, id: f.id, rev: f.rev }, S.left)}
              />
            </div>
          </li>
        ))}
      </ul>
      {list && list.refused.length > 0 && <p class="help">{S.refused}</p>}
      <ul class="device-list">
        {list?.refused.map((r) => (
          <li key={r.number}>
            <p>{r.reason}</p>
            <p class="quiet address">
              {r.id} · {S.at(when(r.at))}
            </p>
            <Fold title={S.body}>
              <pre class="sent">{bodyOf(r)}</pre>
            </Fold>
            <div class="form-foot">
              <Button
                label={S.save}
                act={() =>
                  browserHands().download(
                    new File([bodyOf(r)], `datumbook-aside-${r.number}.json`, { type: "application/json" }),
                  )
                }
              />
              <Twice
                label={S.drop}
                sure={S.dropSure}
                leave={O.office.leave}
                act={() => void settle({ number: r.number }, S.dropped)}
              />
            </div>
          </li>
        ))}
      </ul>
    </section>
  );
}
