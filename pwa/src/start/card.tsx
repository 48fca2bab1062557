import { useEffect, useState } from "preact/hooks";
import { book, href } from "../screen/route";
import { useApp } from "../screen/context";
import { onOwed, owe, whatIsOwed, type Face, type Owed, type Running } from "../screen/face";
import { entryOf, usePages } from "../screen/pages";
import { Picture } from "../screen/picture";
import { Button } from "../ui/controls";
import { Sign } from "../ui/parts";
import { Pictogram } from "../ui/pictograms";
import { W } from "../text/words";
import { BringKey } from "./install";

/** What was touched and waits for the records to take it. */
export function useOwed(): Owed | undefined {
  const [owed, set] = useState(whatIsOwed);
  useEffect(() => {
    const look = () => set(whatIsOwed());
    look();
    return onOwed(look);
  }, []);
  return owed;
}

/** A key that is done at once or as soon as the records can be written; it shows that it was hit. */
function Writes({ label, does, go }: { label: string; does: Owed; go?: boolean }) {
  const { bookFault, say } = useApp();
  const owed = useOwed();
  const hit = owed?.what === does.what && owed.id === does.id;
  return (
    <button
      type="button"
      class={go ? "button go" : "button"}
      aria-busy={hit}
      onClick={() => {
        if (bookFault) say(bookFault);
        else if (!hit) owe(does);
      }}
    >
      {label}
      {does.what === "tick" && (
        <svg class="done-mark" viewBox="0 0 24 24" width="20" height="20" aria-hidden="true">
          <path d="M4 13L10 19L20 5" />
        </svg>
      )}
    </button>
  );
}

/**
 * The setup that runs: how it sits, its next step, the one key for it, and worksheets that fit it.
 */
export function Card({ face, fault }: { face: Running; fault: string }) {
  const known = usePages();
  const { setup, step } = face;
  const from = step || setup;
  const read = (
    <Button
      go={face.reads || (!step && !face.on)}
      label={W.home.read}
      href={book("readings", setup, step ? { step } : {})}
    />
  );
  const done = step ? (
    <Writes go={!face.reads} label={W.home.done} does={{ what: "tick", id: step }} />
  ) : face.on ? (
    <Writes go label={W.home.next} does={{ what: "run", id: face.on, from: setup }} />
  ) : (
    <Button label={W.home.open} href={book("setup", setup)} />
  );
  return (
    <>
      <a class="running-name" href={book("setup", setup)}>
        <small class="running-line">{face.line}</small>
        <b class="next-step">{face.next}</b>
        {(face.notes || face.onName) && <small class="running-notes">{face.notes || face.onName}</small>}
        <span class="running-sits">
          <span class="sits">
            <Picture scene={face.scene} />
          </span>
          {face.last && <small class="num">{W.home.last(face.last)}</small>}
        </span>
      </a>
      {(face.clash || fault) && (
        <p class="running-clash">
          <Sign level={fault ? "refuse" : "caution"} size={20} /> {fault || face.clash}
        </p>
      )}
      <div class={face.reads || (!step && !face.on) ? "mill-keys" : "mill-keys done-first"}>
        {read}
        {done}
      </div>
      {known && (
        <div class="mill-sheets">
          {face.sheets.flatMap((sheet) => {
            const e = entryOf(known, sheet);
            return e ? (
              <a key={sheet} class="small-key" href={href({ page: "sheet", sheet, from })}>
                <Pictogram name={e.icon} or={e.stage} size={24} />
                <span>{e.title}</span>
              </a>
            ) : (
              []
            );
          })}
        </div>
      )}
    </>
  );
}

/** Nothing runs: what could. */
export function Idle({ face }: { face: Exclude<Face, Running> }) {
  const setups = face.kind === "waiting" ? face.setups.slice(0, 2) : [];
  return (
    <>
      <h2>{face.kind === "first" ? W.home.first : W.home.none}</h2>
      <div class="mill-idle">
        {setups.map((s) => (
          <Writes key={s.id} label={W.home.start(s.name)} does={{ what: "run", id: s.id }} />
        ))}
        <Button go={setups.length === 0} label={W.home.newSetup} href={book("begin")} />
        {face.kind === "first" && <BringKey />}
      </div>
    </>
  );
}
