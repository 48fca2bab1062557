import { useEffect, useState } from "preact/hooks";
import { askToKeep, storageState, type StorageState } from "../storage/persist";
import { book, href } from "../screen/route";
import { useApp } from "../screen/context";
import { Button, TextField } from "../ui/controls";
import { Segments, Toggles } from "../ui/parts";
import { setPrefs, usePrefs } from "../screen/prefs";
import { W } from "../text/words";
import { gloveKeys } from "../form/keypad/layout";
import { commaList } from "../form/rowtext";
import { InstallHint } from "./install";

const S = W.settings;

type Choosable = "unit" | "comma" | "glove" | "hand" | "look" | "keypad" | "double";

/**
 * One of the choices about this phone: what stands in the preferences is its key, a number or yes
 * and no.
 */
function Chosen({ of, options, help }: { of: Choosable; options: Record<string, string>; help?: string }) {
  const now = usePrefs()[of];
  const valueOf = (key: string) =>
    typeof now === "number" ? Number(key) : typeof now === "boolean" ? key === "yes" : key;
  return (
    <Segments
      name={of}
      legend={S[of]}
      help={help}
      options={Object.entries(options).map(([key, label]) => ({ key, label }))}
      value={typeof now === "boolean" ? (now ? "yes" : "no") : String(now)}
      pick={(key) => setPrefs({ [of]: valueOf(key) })}
    />
  );
}

/** Preferences of this phone, and export by file. */
export function Settings() {
  const p = usePrefs();
  return (
    <div class="settings">
      <InstallHint />
      <section class="card">
        <Chosen of="unit" help={S.unitHelp} options={{ in: S.inch, mm: S.mm }} />
        <Chosen of="comma" help={S.commaHelp} options={{ no: "12.5", yes: "12,5" }} />
        <TextField
          id="who"
          label={S.who}
          help={S.whoHelp}
          maxLength={40}
          value={p.who}
          autocomplete="off"
          aria-describedby="who-help"
          set={(who) => setPrefs({ who })}
        />
        <Toggles
          name="drills"
          legend={S.drills}
          help={S.drillsHelp}
          options={[
            { key: "fraction", label: S.drillFraction },
            { key: "number", label: S.drillNumber },
            { key: "letter", label: S.drillLetter },
            { key: "metric", label: S.drillMetric },
          ]}
          value={commaList(p.drills)}
          pick={(keys) => setPrefs({ drills: keys.join(", ") })}
        />
      </section>
      <section class="card">
        <Chosen
          of="glove"
          help={S.gloveHelp(...gloveKeys(innerWidth, innerHeight))}
          options={{ no: S.off, yes: S.on }}
        />
        <Chosen of="hand" help={S.handHelp} options={{ left: S.left, right: S.right }} />
        <Chosen of="look" options={{ auto: S.lookAuto, bright: S.lookBright, dim: S.lookDim }} />
        <Chosen
          of="keypad"
          help={S.keypadHelp}
          options={{ touch: S.keypadTouch, always: S.keypadAlways, never: S.keypadNever }}
        />
        <Chosen of="double" help={S.doubleHelp} options={{ 0: S.doubleOff, 30: S.ms(30), 60: S.ms(60) }} />
      </section>
      <Room />
      <OneFile />
      <p class="foot-links">
        <Button label={W.nav.checked} href={href({ page: "checked" })} />
        <Button label={W.book.titles.look} href={book("look")} />
        <Button label={W.office.where} href="#/where" />
        <Button label={W.office.pair} href="#/pair" />
        <Button label={W.office.office} href="#/office" />
      </p>
      <Version />
    </div>
  );
}

const size = (bytes: number): string =>
  bytes < 1e6
    ? `${Math.max(1, Math.round(bytes / 1e3))} KB`
    : bytes < 1e9
      ? `${Math.round(bytes / 1e6)} MB`
      : `${(bytes / 1e9).toFixed(1)} GB`;

/** Whether the browser keeps what is here, and how much room there is. */
export function Room() {
  const { bookFault } = useApp();
  const [state, set] = useState<StorageState>();
  const [asked, setAsked] = useState(false);
  useEffect(() => {
    storageState().then(set, () => set({ kind: "unknown", words: S.noStore }));
  }, []);
  return (
    <section class="card">
      <h2>{S.store}</h2>
      <p>{bookFault || (state?.words ?? "")}</p>
      {state?.used !== undefined && state.quota !== undefined && (
        <p class="quiet">{S.used(size(state.used), size(state.quota))}</p>
      )}
      {asked && state?.kind === "may-clear" && <p>{S.persistNo}</p>}
      {state && state.kind !== "granted" && !bookFault && (
        <Button
          label={S.persist}
          act={() => {
            askToKeep()
              .then(set)
              .catch(() => undefined) // it cannot be asked: shown as a refusal
              .finally(() => setAsked(true));
          }}
        />
      )}
    </section>
  );
}

/** Link to the screen for files. */
export function OneFile() {
  return (
    <section class="card" id="one-file">
      <h2>{S.file}</h2>
      <p>{S.fileHelp}</p>
      <Button label={W.book.titles.files} href={book("files")} />
    </section>
  );
}

function Version() {
  // The main script's name changes with anything it is built from.
  const script = document.querySelector<HTMLScriptElement>("script[type=module][src]");
  const build = /-(\w+)\.js$/.exec(script?.src ?? "")?.[1];
  return build ? <p class="quiet version">{S.version(build)}</p> : null;
}
