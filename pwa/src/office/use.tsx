import { useState } from "preact/hooks";
import type { Paired } from "../sync/office";
import { href } from "../screen/route";
import { Button } from "../ui/controls";
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

/** A default name for a device, from its user agent; the user can change it. */
export function deviceGuess(agent: string): string {
  for (const [mark, name] of [
    ["iPhone", "Phone"],
    ["iPad", "Tablet"],
    ["Android", /Mobile/.test(agent) ? "Phone" : "Tablet"],
  ] as const) {
    if (agent.includes(mark)) return name;
  }
  return "Desk machine";
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
