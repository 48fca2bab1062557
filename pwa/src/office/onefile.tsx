import { useRef, useState } from "preact/hooks";
import { handOver } from "../records/handover";
import { useApp, words } from "../screen/context";
import { FaultLine } from "../ui/parts";
import { O } from "../text/office";

const S = O.file;

/** Everything out to one file, or in from one: the way that needs no network. */
export function OneFile() {
  const { book, bookFault, say } = useApp();
  const [fault, setFault] = useState("");
  const [busy, setBusy] = useState(false);
  const [ready, setReady] = useState<File>();
  const pick = useRef<HTMLInputElement>(null);
  const save = async () => {
    setFault("");
    setBusy(true);
    try {
      const file = ready ?? (await book!.exportAll());
      const handed = await handOver(file);
      setReady(handed === "again" ? file : undefined);
      if (handed === "shared") say(S.shared(file.name));
      if (handed === "saved") say(S.saved(file.name));
    } catch (err) {
      setFault(`${S.failed} ${words(err)}`);
    } finally {
      setBusy(false);
    }
  };
  const load = async (file: File | undefined) => {
    if (!file) return;
    setFault("");
    setBusy(true);
    try {
      const report = await book!.importAll(file);
      say(S.in(report.added, report.already));
    } catch (err) {
      setFault(`${S.inFailed} ${words(err)}`);
    } finally {
      setBusy(false);
    }
  };
  return (
    <section class="card" id="one-file">
      <h2>{S.title}</h2>
      <p>{S.help}</p>
      {ready && <p>{S.again}</p>}
      <FaultLine id="one-file-fault" text={fault || bookFault || undefined} />
      <div class="form-foot">
        <button type="button" class="button" disabled={!book || busy} onClick={() => void save()}>
          {busy ? S.busy : ready ? S.now : S.out}
        </button>
        <button type="button" class="button" disabled={!book || busy} onClick={() => pick.current?.click()}>
          {S.bring}
        </button>
        <input
          ref={pick}
          class="hidden"
          type="file"
          accept=".json,.txt,application/json,text/plain"
          aria-label={S.bring}
          tabIndex={-1}
          onChange={(e) => {
            void load(e.currentTarget.files?.[0]);
            e.currentTarget.value = "";
          }}
        />
      </div>
    </section>
  );
}
