import { useState } from "preact/hooks";
import { carrier } from "../../late/door";
import { useApp } from "../../ui/app";
import { FaultLine } from "../../ui/parts";
import { B } from "../../words/book";
import { storeFault, useShelf } from "./use";

/** Loads the invented job, or takes it out where it is: one touch each. */
export function DemoKeys() {
  const { say } = useApp();
  const { shelf, ready } = useShelf("job", "fixture", "machine");
  const [going, setGoing] = useState("");
  const [fault, setFault] = useState("");
  if (!shelf || !ready) return null;
  const here = ["job", "fixture", "machine"].some((kind) => shelf.all(kind, true).some((r) => r.demo));
  const work = (run: () => Promise<void>) => {
    if (going) return;
    setFault("");
    setGoing("…");
    run()
      .catch((err: unknown) => setFault(storeFault(err)))
      .finally(() => setGoing(""));
  };
  return (
    <div class="demo-keys">
      {here && <p class="warn warn-note">{B.mill.demoOn}</p>}
      <button
        type="button"
        class="button"
        disabled={!!going}
        onClick={() =>
          work(async () => {
            const { loadDemo, removeDemo } = await carrier();
            if (here) say(B.mill.demoOut(await removeDemo(shelf)));
            else await loadDemo(shelf, (done, all) => setGoing(B.mill.demoWorking(done, all)));
          })
        }
      >
        {here ? B.mill.demoOff : B.mill.demo}
      </button>
      <p role="status">{going}</p>
      <FaultLine id="demo-fault" text={fault || undefined} />
    </div>
  );
}

/** Stands on every page of an invented record, with the key that takes them all out. */
export function Invented({ id }: { id: string }) {
  return id.includes(":00-demo-") ? (
    <div class="narrow">
      <DemoKeys />
    </div>
  ) : null;
}
