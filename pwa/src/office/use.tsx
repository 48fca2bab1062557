import { useEffect, useState } from "preact/hooks";
import type { SyncState } from "../sync/status";
import { useApp } from "../screen/context";

/** Where the records are, as it changes. */
export function useSync(): SyncState | undefined {
  const { book } = useApp();
  const [state, set] = useState(book?.sync);
  useEffect(() => {
    if (!book) return;
    set(book.sync);
    return book.onSync(set);
  }, [book]);
  return state;
}

/** A first name for a device, by what its browser says; the person changes it. */
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

/** A key that asks once more before it acts. */
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
  if (!asking) {
    return (
      <button type="button" class="button" onClick={() => ask(true)}>
        {label}
      </button>
    );
  }
  return (
    <div class="twice">
      {help && <p>{help}</p>}
      <div class="form-foot">
        <button
          type="button"
          class="button danger"
          onClick={() => {
            ask(false);
            act();
          }}
        >
          {sure}
        </button>
        <button type="button" class="button" onClick={() => ask(false)}>
          {leave}
        </button>
      </div>
    </div>
  );
}
