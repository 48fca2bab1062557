import { useCallback, useEffect, useState } from "preact/hooks";
import { askOffice, type DeviceView } from "../sync/office";
import { book } from "../screen/route";
import { when, words } from "../screen/context";
import { Button, Labelled } from "../ui/controls";
import { FaultLine } from "../ui/parts";
import { O } from "../text/office";

const S = O.trail;

interface Entry {
  number: string;
  at: string;
  kind: string;
  says: string;
  record?: string;
}

interface Page {
  events: Entry[];
  more: boolean;
}

/** What happened to the office, newest first: who was let in, what was deleted or rewritten. */
export function Trail() {
  const [kind, setKind] = useState("");
  const [device, setDevice] = useState("");
  const [devices, setDevices] = useState<DeviceView[]>([]);
  const [page, setPage] = useState<Page>();
  const [fault, setFault] = useState("");
  const load = useCallback(
    async (before?: string) => {
      setFault("");
      const ask = new URLSearchParams({ limit: "20", kind, device, ...(before && { before }) });
      try {
        return await askOffice<Page>("GET", `/api/audit?${ask}`);
      } catch (err) {
        setFault(words(err));
        return undefined;
      }
    },
    [kind, device],
  );
  useEffect(() => {
    let live = true;
    void load().then((got) => live && setPage(got));
    return () => {
      live = false;
    };
  }, [load]);
  useEffect(() => {
    askOffice<DeviceView[]>("GET", "/api/devices").then(setDevices, () => undefined); // then only by kind
  }, []);
  const older = async () => {
    const got = await load(page?.events.at(-1)?.number);
    if (got && page) setPage({ events: [...page.events, ...got.events], more: got.more });
  };
  const choose = (
    id: string,
    label: string,
    value: string,
    set: (v: string) => void,
    of: [string, string][],
  ) => (
    <Labelled id={id} label={label}>
      <select id={id} value={value} onChange={(e) => set(e.currentTarget.value)}>
        <option value="">{S.all}</option>
        {of.map(([key, text]) => (
          <option key={key} value={key}>
            {text}
          </option>
        ))}
      </select>
    </Labelled>
  );
  return (
    <section class="card" id="trail">
      <h2>{S.title}</h2>
      {choose("trail-kind", S.kind, kind, setKind, Object.entries(S.kinds))}
      {choose(
        "trail-device",
        S.device,
        device,
        setDevice,
        devices.map((d) => [d.id, d.name]),
      )}
      <FaultLine id="trail-fault" text={fault || undefined} />
      {page?.events.length === 0 && <p class="quiet">{S.none}</p>}
      <ul class="device-list">
        {page?.events.map((e) => (
          <li key={e.number}>
            <p>{e.says}</p>
            <p class="quiet">
              {when(e.at)}
              {e.record && e.kind !== "deletion" && (
                <>
                  {" · "}
                  <a href={book("record", e.record)}>{O.look.open}</a>
                </>
              )}
            </p>
          </li>
        ))}
      </ul>
      {page?.more && (
        <div class="form-foot">
          <Button label={S.older} act={() => void older()} />
        </div>
      )}
    </section>
  );
}
