import { useEffect, useState } from "preact/hooks";
import { OfficeSays, OutOfReach, pairHere, type Paired } from "../sync/office";
import { NotTheOffice } from "../sync/fetch";
import { codeDigits, readPairing } from "../sync/pairing";
import { askToKeep } from "../storage/persist";
import { useApp, useSync, words } from "../screen/context";
import { Button, Form, TextField } from "../ui/controls";
import { FaultLine } from "../ui/parts";
import { deviceGuess, DeviceName, Done } from "./use";
import { O } from "../text/office";

const P = O.pair;

/** Exchanges the office's code for this device's own token. */
export function Pair({ code: scanned }: { code: string }) {
  const { book } = useApp();
  const [had] = useState(readPairing);
  const [code, setCode] = useState(scanned);
  const [name, setName] = useState(had?.name ?? deviceGuess(navigator.userAgent));
  const [fault, setFault] = useState<{ field: string; text: string }>();
  const [busy, setBusy] = useState(false);
  const [wait, setWait] = useState(0);
  const [done, setDone] = useState<Paired>();
  const waiting = useSync()?.waiting ?? 0;
  useEffect(() => {
    if (scanned) setCode(scanned);
  }, [scanned]);
  useEffect(() => {
    if (wait <= 0) return;
    const t = setTimeout(() => setWait(wait - 1), 1000);
    return () => clearTimeout(t);
  }, [wait]);

  const pair = async () => {
    const digits = codeDigits(code);
    if (!digits) return setFault({ field: "code", text: P.codeBad });
    if (!name.trim()) return setFault({ field: "name", text: P.nameNeed });
    setBusy(true);
    setFault(undefined);
    try {
      setDone(await pairHere(digits, name.trim()));
      book?.syncNow();
      void askToKeep();
    } catch (err) {
      if (err instanceof OfficeSays) {
        setWait(err.wait);
        setFault({ field: err.field === "name" ? "name" : "code", text: err.message });
      } else if (err instanceof OutOfReach) setFault({ field: "code", text: P.silent });
      else if (err instanceof NotTheOffice) setFault({ field: "code", text: P.stranger });
      else setFault({ field: "code", text: words(err) });
    } finally {
      setBusy(false);
    }
  };

  if (done) return <Done {...done} />;
  return (
    <div class="narrow">
      <Form class="card" act={() => void pair()}>
        <p>{P.lead}</p>
        {had && <p class="help">{P.already(had.name)}</p>}
        {waiting > 0 && <p class="help">{P.stays(waiting)}</p>}
        <TextField
          id="pair-code"
          label={P.code}
          inputMode="numeric"
          autocomplete="one-time-code"
          value={code}
          maxLength={20}
          placeholder={P.codeLike}
          aria-describedby="pair-code-fault"
          set={(text) => {
            setCode(text);
            setFault(undefined);
          }}
          under={<FaultLine id="pair-code-fault" text={fault?.field === "code" ? fault.text : undefined} />}
        />
        <DeviceName
          id="pair-name"
          value={name}
          fault={fault?.field === "name" ? fault.text : ""}
          set={(text) => {
            setName(text);
            setFault(undefined);
          }}
        />
        <div class="form-foot">
          <Button
            submit
            go
            label={busy ? P.going : wait > 0 ? P.wait(wait) : P.go}
            disabled={busy || wait > 0}
          />
        </div>
      </Form>
      <p class="help">{P.home}</p>
    </div>
  );
}
