import { useEffect, useState } from "preact/hooks";
import { useApp } from "../screen/context";
import { Button } from "../ui/controls";
import { FaultLine } from "../ui/parts";
import { B } from "../text/jobbook";
import { storeFault, useRepository } from "./use";

/** Loads the invented job, or removes it: one touch each. */
export function DemoKeys() {
  const { say, load } = useApp();
  const { repo, ready } = useRepository("job", "fixture", "machine");
  const [going, setGoing] = useState("");
  const [fault, setFault] = useState("");
  const [own, setOwn] = useState<string[]>([]);
  if (!repo || !ready) return null;
  const here = ["job", "fixture", "machine"].some((kind) => repo.all(kind).some((r) => r.demo));
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
      {here && own.length > 0 && (
        <p class="warn warn-caution" role="alert">
          {[...own, B.mill.demoAgain].join(" ")}
        </p>
      )}
      <Button
        label={here ? B.mill.demoOff : B.mill.demo}
        disabled={!!going}
        act={() =>
          work(async () => {
            const { invention, loadDemo, removeDemo } = await load.transfer();
            if (!here) return void (await loadDemo(repo, (n, all) => setGoing(B.mill.demoWorking(n, all))));
            const found = await invention(repo);
            const more = [
              found.own > 0 ? B.mill.demoOwn(found.own) : "",
              found.changed.length > 0 ? B.mill.demoChanged(found.changed.length) : "",
            ].filter(Boolean);
            // One touch is enough, unless a person changed part of it: then that is said first.
            if (more.join() !== own.join()) return setOwn(more);
            say([B.mill.demoOut(await removeDemo(repo)), ...more].join(" "));
            setOwn([]);
          })
        }
      />
      <p role="status">{going}</p>
      <FaultLine id="demo-fault" text={fault || undefined} />
    </div>
  );
}

/** A word in the head of every page of an invented record; touched, it leads to the key that takes all out. */
export function Invented({ id }: { id: string }) {
  const { keyInHead } = useApp();
  const invented = id.includes(":00-demo-");
  useEffect(() => {
    if (!invented) return;
    keyInHead({ label: B.mill.inventedShort, says: B.mill.demoOn, act: () => (location.hash = "#/files") });
    return () => keyInHead(undefined);
    // eslint-disable-next-line react-hooks/exhaustive-deps -- the shell makes keyInHead anew each time
  }, [invented]);
  return null;
}
