import { useCallback, useEffect, useState } from "preact/hooks";
import { OfficeSays, openHere, type Paired } from "../sync/office";
import { askToKeep } from "../storage/persist";
import { useApp, words } from "../screen/context";
import { Button } from "../ui/controls";
import { Blank } from "../ui/parts";
import { Done } from "./use";
import { O } from "../text/office";

/** Exchanges the key of the office machine's own link for this browser's token, at once. */
export function Open({ code }: { code: string }) {
  const { book } = useApp();
  const [done, setDone] = useState<Paired>();
  const [fault, setFault] = useState<{ text: string; again: boolean }>();
  const trade = useCallback(() => {
    setFault(undefined);
    openHere(code).then(setDone, (err: unknown) =>
      setFault({ text: words(err), again: !(err instanceof OfficeSays) }),
    );
  }, [code]);
  useEffect(() => {
    if (code) trade();
    else setFault({ text: O.open.used, again: false });
  }, [code, trade]);
  useEffect(() => {
    if (!done) return;
    book?.syncNow();
    void askToKeep();
  }, [done, book]);
  if (done) return <Done {...done} />;
  if (!fault) return <Blank kind="loading" title={O.open.going} />;
  return (
    <Blank kind="broken" title={O.office.unpaired} help={fault.text}>
      {fault.again && <Button go label={O.where.try} act={trade} />}
    </Blank>
  );
}
