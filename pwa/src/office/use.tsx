import { useState } from "preact/hooks";
import { renameDevice, type Paired } from "../sync/office";
import { useApp, words } from "../screen/context";
import { href } from "../screen/route";
import { Button, Form, TextField } from "../ui/controls";
import { FaultLine, Sign } from "../ui/parts";
import { O } from "../text/office";

/** What this device is now at the office, and where to go on. */
export function Done({ device, kept }: Paired) {
  const P = O.pair;
  return (
    <div class="narrow">
      <section class="card" role="status">
        <p class="state-line">
          <Sign level="good" /> <b>{P.done(device.name, device.role)}</b>
        </p>
        {!kept && <FaultLine id="pair-kept" text={P.notKept} />}
        <div class="form-foot">
          <Button go label={P.on} href={href({ page: "jobs" })} />
          <Button label={P.where} href={href({ page: "office", view: "where" })} />
        </div>
      </section>
    </div>
  );
}

/** A default name for a device, from what its browser says of it; the user can change it. */
export function deviceGuess(agent: string, fingers = navigator.maxTouchPoints): string {
  const [phone, tablet, desk] = O.pair.kinds;
  for (const [mark, name] of [
    ["iPhone", phone],
    ["iPad", tablet],
    ["Android", agent.includes("Mobile") ? phone : tablet],
    // An iPad says that it is a Mac, which has no screen to be touched.
    ["Macintosh", fingers > 1 ? tablet : desk],
  ] as const) {
    if (agent.includes(mark)) return name;
  }
  return desk;
}

/** A device's name; while it is no more than what kind of thing it is, that is one touch. */
export function DeviceName(p: { id: string; value: string; fault: string; set: (name: string) => void }) {
  const kinds: readonly string[] = O.pair.kinds;
  return (
    <>
      <TextField
        id={p.id}
        label={O.pair.name}
        help={O.pair.nameHelp}
        value={p.value}
        maxLength={40}
        aria-describedby={`${p.id}-help ${p.id}-fault`}
        set={p.set}
        fault={p.fault}
      />
      {[...kinds, ""].includes(p.value.trim()) && (
        <div class="chips" role="group" aria-label={O.pair.kind}>
          {kinds.map((kind) => (
            <button
              key={kind}
              type="button"
              class="chip"
              aria-pressed={kind === p.value.trim()}
              onClick={() => p.set(kind)}
            >
              {kind}
            </button>
          ))}
        </div>
      )}
    </>
  );
}

/** A key that gives a device another name: what it was called when it was paired was a guess. */
export function Rename({ id, name, done }: { id: string; name: string; done: () => void }) {
  const { say } = useApp();
  const [typed, setTyped] = useState<string>();
  const [fault, setFault] = useState("");
  if (name.startsWith("this machine")) return null; // known at the office by that name
  if (typed === undefined) return <Button label={O.me.rename} act={() => setTyped(name)} />;
  const keep = async () => {
    try {
      say(O.me.renamed(await renameDevice(id, typed.trim())));
      setTyped(undefined);
      done();
    } catch (err) {
      setFault(words(err));
    }
  };
  return (
    <Form class="rename" act={() => void keep()}>
      <DeviceName
        id={`name-${id}`}
        value={typed}
        fault={fault}
        set={(to) => {
          setTyped(to);
          setFault("");
        }}
      />
      <div class="form-foot">
        <Button submit go label={O.me.renameKeep} />
        <Button label={O.office.leave} act={() => setTyped(undefined)} />
      </div>
    </Form>
  );
}

/** A key that asks for confirmation before it acts. */
export function Twice({
  label,
  sure,
  leave,
  help,
  act,
}: {
  label: string;
  sure: string;
  leave: string;
  help?: string;
  act: () => void;
}) {
  const [asking, ask] = useState(false);
  if (!asking) return <Button label={label} act={() => ask(true)} />;
  return (
    <div class="twice">
      {help && <p>{help}</p>}
      <div class="form-foot">
        <Button
          class="button danger"
          label={sure}
          act={() => {
            ask(false);
            act();
          }}
        />
        <Button label={leave} act={() => ask(false)} />
      </div>
    </div>
  );
}
