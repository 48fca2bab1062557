import { useCallback, useEffect, useRef, useState } from "preact/hooks";
import { askAddresses, askOffice, OfficeSays, whoAmI, type DeviceView, type Me } from "../sync/office";
import type { OfficeNote, Role } from "../sync/pairing";
import { href } from "../screen/route";
import { useApp, when, words } from "../screen/context";
import { Button } from "../ui/controls";
import { Blank, FaultLine, Fold, Segments, Sign, Warn } from "../ui/parts";
import { Copies, lags, type Copy } from "./copies";
import { Look } from "./review";
import { Trail } from "./trail";
import { Rename, Twice } from "./use";
import { wellOf, type Known } from "./well";
import { O } from "../text/office";

const S = O.office;

/** The owner's page: devices, pairing, the office's addresses, and records that need a look. */
export function Office() {
  const [me, setMe] = useState<Me>();
  const [fault, setFault] = useState<{ title: string; help: string; pair: boolean }>();
  const [office, setOffice] = useState<OfficeNote>();
  const [copies, setCopies] = useState<Copy[]>([]);
  const load = useCallback(() => {
    setFault(undefined);
    Promise.all([whoAmI(), askAddresses(Date.now())]).then(
      ([who, note]) => {
        setMe(who);
        setOffice(note);
      },
      (err: unknown) => {
        const unpaired = err instanceof OfficeSays && err.status === 401;
        setFault({ title: unpaired ? S.unpaired : S.away, help: words(err), pair: unpaired });
      },
    );
  }, []);
  useEffect(load, [load]);
  if (fault) {
    return (
      <Blank kind="broken" title={fault.title} help={fault.help}>
        {fault.pair ? (
          <Button go label={O.where.pair} href={href({ page: "office", view: "pair" })} />
        ) : (
          <Button go label={O.where.try} act={load} />
        )}
      </Blank>
    );
  }
  if (!me || !office) return <Blank kind="loading" title={S.loading} />;
  if (me.role !== "owner") return <Blank kind="empty" title={S.not} help={S.notHelp(S.roleName[me.role])} />;
  return (
    <div class="office">
      <WellLine until={office.until ?? ""} tell={setCopies} />
      <div>
        <LetIn network={office.network} />
        <Addresses office={office} />
        <Copies list={copies} />
      </div>
      <div>
        <Devices me={me.device} />
        <Look />
        <Trail />
      </div>
    </div>
  );
}

/** Scrolls to a part of the page, and so far that it begins below the headline that stays. */
function clearOf(headline: HTMLElement | null, part: HTMLElement | null) {
  if (!headline || !part) return;
  part.style.scrollMarginTop = `${headline.offsetHeight}px`;
  part.scrollIntoView();
}

/** What is not well, as a headline, with the key that leads to where it is cured. */
function WellLine({ until, tell }: { until: string; tell: (copies: Copy[]) => void }) {
  const here = useRef<HTMLElement>(null);
  const [known, setKnown] = useState<Known>();
  useEffect(() => {
    const ask = () =>
      Promise.all([
        askOffice<DeviceView[]>("GET", "/api/devices"),
        askOffice<{ flags: unknown[]; refused: unknown[] }>("GET", "/api/look"),
        askOffice<{ wanted: unknown[] }>("GET", "/api/wanted"),
        askOffice<Copy[]>("GET", "/api/peers"),
      ]).then(
        ([devices, { flags, refused }, { wanted }, copies]) => {
          tell(copies);
          setKnown({
            devices,
            look: flags.length + refused.length,
            lost: wanted.length,
            copies: copies.filter(lags).length,
            until,
            now: Date.now(),
          });
        },
        () => undefined, // said where the same is listed
      );
    void ask();
    const t = setInterval(() => void ask(), 10_000);
    return () => clearInterval(t);
  }, [until, tell]);
  if (!known) return null;
  const { level, says, line, at } = wellOf(known);
  return (
    <section class={`first office-well is-${level}`} id="well" ref={here}>
      <p class="headline">
        <Sign level={level} size={26} />
        <span>{says}</span>
      </p>
      <p class="facts">{line}</p>
      {level !== "good" && (
        <Button label={O.well.cure} act={() => clearOf(here.current, document.getElementById(at))} />
      )}
    </section>
  );
}

interface Shown {
  code: string;
  role: Role;
  expires: string;
  link: string;
  qr: string;
}

function LetIn({ network }: { network: boolean }) {
  const [role, setRole] = useState<Role>("hand");
  const [shown, setShown] = useState<Shown>();
  const [fault, setFault] = useState("");
  const show = () => {
    setFault("");
    askOffice<Shown>("POST", "/api/pair/code", { role }).then(setShown, (err: unknown) =>
      setFault(words(err)),
    );
  };
  useEffect(() => {
    if (!shown) return;
    const t = setTimeout(() => setShown(undefined), Math.max(0, Date.parse(shown.expires) - Date.now()));
    return () => clearTimeout(t);
  }, [shown]);
  return (
    <section class="card" id="let-in">
      <h2>{S.letIn}</h2>
      {!network && <Warn level="note" text={S.local} />}
      <Segments
        name="role"
        legend={S.role}
        options={(["hand", "reader", "owner"] as const).map((key) => ({ key, label: S.roles[key] }))}
        value={role}
        pick={(key) => {
          setRole(key as Role);
          setShown(undefined);
        }}
      />
      <FaultLine id="let-in-fault" text={fault || undefined} />
      {shown && (
        <div class="pair-code" role="status">
          <img
            src={`data:image/svg+xml;utf8,${encodeURIComponent(shown.qr)}`}
            alt={S.qr}
            width="240"
            height="240"
          />
          <p>{S.scan}</p>
          <p class="pair-digits num">{shown.code}</p>
          <p class="quiet">{S.good(when(shown.expires))}</p>
          <p class="quiet address">{shown.link.replace(/#.*/, "")}</p>
        </div>
      )}
      <div class="form-foot">
        <Button go={!shown} label={shown ? S.another : S.show} act={show} />
      </div>
    </section>
  );
}

function Devices({ me }: { me: string }) {
  const { say } = useApp();
  const [list, setList] = useState<DeviceView[]>();
  const [fault, setFault] = useState("");
  const load = useCallback(() => {
    askOffice<DeviceView[]>("GET", "/api/devices").then(setList, (err: unknown) => setFault(words(err)));
  }, []);
  useEffect(() => {
    load();
    const t = setInterval(load, 5_000); // a device that was just let in shows up by itself
    return () => clearInterval(t);
  }, [load]);
  const shut = async (d: DeviceView) => {
    setFault("");
    try {
      await askOffice("DELETE", `/api/devices/${encodeURIComponent(d.id)}`);
      say(S.shut(d.name));
    } catch (err) {
      setFault(words(err));
    }
    load();
  };
  const live = (list ?? []).filter((d) => !d.revoked);
  const gone = (list ?? []).filter((d) => d.revoked);
  const line = (d: DeviceView) => (
    <li key={d.id}>
      <p>
        <b>{d.name}</b> · {S.roleName[d.role]}
        {d.id === me && ` · ${S.you}`}
      </p>
      <p class="quiet">
        {S.paired(when(d.paired))} · {d.seen ? S.seen(when(d.seen)) : S.unseen}
        {d.revoked && ` · ${S.gone(when(d.revoked))}`}
      </p>
      {!d.revoked && (
        <div class="foot-links">
          <Rename id={d.id} name={d.name} done={load} />
          <Twice
            label={S.shutOut}
            sure={S.sure(d.name)}
            leave={S.leave}
            help={d.id === me ? `${S.sureHelp} ${S.sureSelf}` : S.sureHelp}
            act={() => void shut(d)}
          />
        </div>
      )}
    </li>
  );
  return (
    <section class="card" id="devices">
      <h2>{S.devices}</h2>
      <FaultLine id="devices-fault" text={fault || undefined} />
      {list && live.length === 0 && <p class="quiet">{S.none}</p>}
      <ul class="device-list">{live.map(line)}</ul>
      {gone.length > 0 && (
        <Fold title={S.past(gone.length)}>
          <ul class="device-list">{gone.map(line)}</ul>
        </Fold>
      )}
    </section>
  );
}

const soon = 30 * 24 * 3600_000;

function Addresses({ office }: { office: OfficeNote }) {
  return (
    <section class="card" id="addresses">
      <h2>{S.addresses}</h2>
      <dl class="entries">
        {office.start && (
          <div>
            <dt>{S.start}</dt>
            <dd class="address">{office.start}</dd>
          </div>
        )}
        <div>
          <dt>{S.app}</dt>
          <dd class="address">{office.app}</dd>
        </div>
        {office.fingerprint && (
          <div>
            <dt>{S.finger}</dt>
            <dd class="address num">{office.fingerprint}</dd>
            <dd class="help">{S.fingerHelp}</dd>
          </div>
        )}
        {office.until && (
          <div>
            <dt>{S.until}</dt>
            <dd>{when(office.until)}</dd>
            {Date.parse(office.until) - Date.now() < soon && <dd class="help">{S.untilSoon}</dd>}
          </div>
        )}
        <div>
          <dt>{S.version}</dt>
          <dd>{office.version}</dd>
        </div>
      </dl>
    </section>
  );
}
