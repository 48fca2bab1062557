import { useState } from "preact/hooks";
import { Button } from "../ui/controls";

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
