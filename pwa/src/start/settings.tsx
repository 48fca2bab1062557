import { useEffect, useState } from "preact/hooks";
import { askToKeep, storageState, type StorageState } from "../storage/persist";
import { book } from "../screen/route";
import { useApp } from "../screen/context";
import { Segments, Toggles } from "../ui/parts";
import { setPrefs, usePrefs } from "../screen/prefs";
import { W } from "../text/words";
import { commaList } from "../form/rowtext";

const S = W.settings;

/** How this phone is used, and the way out by file. */
export function Settings() {
  const p = usePrefs();
  return (
    <div class="settings">
      <section class="card">
        <Segments
          name="unit"
          legend={S.unit}
          help={S.unitHelp}
          options={[
            { key: "in", label: S.inch },
            { key: "mm", label: S.mm },
          ]}
          value={p.unit}
          pick={(unit) => setPrefs({ unit: unit === "mm" ? "mm" : "in" })}
        />
        <div class="field-wrap">
          <div class="field">
            <label for="who">{S.who}</label>
            <input
              id="who"
              type="text"
              maxLength={40}
              value={p.who}
              autocomplete="off"
              aria-describedby="who-help"
              onInput={(e) => setPrefs({ who: e.currentTarget.value })}
            />
          </div>
          <p class="help" id="who-help">
            {S.whoHelp}
          </p>
        </div>
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
        <Segments
          name="glove"
          legend={S.glove}
          help={S.gloveHelp}
          options={[
            { key: "no", label: S.off },
            { key: "yes", label: S.on },
          ]}
          value={p.glove ? "yes" : "no"}
          pick={(key) => setPrefs({ glove: key === "yes" })}
        />
        <Segments
          name="hand"
          legend={S.hand}
          help={S.handHelp}
          options={[
            { key: "left", label: S.left },
            { key: "right", label: S.right },
          ]}
          value={p.hand}
          pick={(key) => setPrefs({ hand: key === "left" ? "left" : "right" })}
        />
        <Segments
          name="look"
          legend={S.look}
          options={[
            { key: "auto", label: S.lookAuto },
            { key: "bright", label: S.lookBright },
            { key: "dim", label: S.lookDim },
          ]}
          value={p.look}
          pick={(key) => setPrefs({ look: key === "bright" || key === "dim" ? key : "auto" })}
        />
        <Segments
          name="keypad"
          legend={S.keypad}
          help={S.keypadHelp}
          options={[
            { key: "touch", label: S.keypadTouch },
            { key: "always", label: S.keypadAlways },
            { key: "never", label: S.keypadNever },
          ]}
          value={p.keypad}
          pick={(key) => setPrefs({ keypad: key === "always" || key === "never" ? key : "touch" })}
        />
        <Segments
          name="double"
          legend={S.double}
          help={S.doubleHelp}
          options={[0, 120, 250, 400].map((n) => ({
            key: String(n),
            label: n === 0 ? S.doubleOff : S.ms(n),
          }))}
          value={String(p.double)}
          pick={(key) => setPrefs({ double: Number(key) })}
        />
      </section>
      <Room />
      <OneFile />
      <p class="foot-links">
        <a class="button" href="#/where">
          {W.office.where}
        </a>
        <a class="button" href="#/pair">
          {W.office.pair}
        </a>
        <a class="button" href="#/office">
          {W.office.office}
        </a>
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
        <button
          type="button"
          class="button"
          onClick={() => {
            askToKeep().then(
              (s) => {
                set(s);
                setAsked(true);
              },
              () => setAsked(true),
            );
          }}
        >
          {S.persist}
        </button>
      )}
    </section>
  );
}

/** The way to the one screen for files. */
export function OneFile() {
  return (
    <section class="card" id="one-file">
      <h2>{S.file}</h2>
      <p>{S.fileHelp}</p>
      <a class="button" href={book("files")}>
        {S.fileOpen}
      </a>
    </section>
  );
}

function Version() {
  // The main script's name changes with anything it is built from.
  const script = document.querySelector<HTMLScriptElement>("script[type=module][src]");
  const build = /-(\w+)\.js$/.exec(script?.src ?? "")?.[1];
  return build ? <p class="quiet version">{S.version(build)}</p> : null;
}
