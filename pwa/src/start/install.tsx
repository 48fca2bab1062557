import { useEffect, useState } from "preact/hooks";
import { keptHere } from "../storage/persist";
import { useSync } from "../screen/context";
import { book, href } from "../screen/route";
import { Button } from "../ui/controls";
import { W } from "../text/words";

/** Chromium's install prompt, held until the user asks for it. */
interface InstallEvent extends Event {
  prompt(): Promise<void>;
}

let offer: InstallEvent | undefined;
const listeners = new Set<() => void>();
const tell = () => listeners.forEach((l) => l());

/** Called once, early: the event comes soon after the page. */
export function watchInstall(): void {
  addEventListener("beforeinstallprompt", (e) => {
    e.preventDefault();
    offer = e as InstallEvent;
    tell();
  });
  addEventListener("appinstalled", () => {
    offer = undefined;
    tell();
  });
}

const KEY = "datumbook.install";
const declined = (): boolean => {
  try {
    return localStorage.getItem(KEY) === "no";
  } catch {
    return true;
  }
};
const alone = (): boolean => matchMedia("(display-mode: standalone)").matches;
/** Browsers that install only by their share menu have this property and no prompt. */
const byMenu = (): boolean => "standalone" in navigator && !alone();

function useOffer(): InstallEvent | undefined {
  const [, draw] = useState(0);
  useEffect(() => {
    const l = () => draw((n) => n + 1);
    listeners.add(l);
    return () => void listeners.delete(l);
  }, []);
  return offer;
}

function install(): void {
  void offer?.prompt();
  offer = undefined;
  tell();
}

const offered = (): boolean => !declined() && !alone() && (!!offer || byMenu());

function decline(): void {
  try {
    localStorage.setItem(KEY, "no");
  } catch {
    // Asked again next time, which does no harm.
  }
  tell();
}

/** On Start, once something was kept here: two keys and no words. */
export function InstallRow() {
  useOffer();
  if (!keptHere() || !offered()) return null;
  return (
    <div class="install-row">
      {offer ? (
        <Button label={W.install.key} act={install} />
      ) : (
        <Button label={W.install.key} href={href({ page: "settings" })} />
      )}
      <Button label={W.install.close} act={decline} />
    </div>
  );
}

/** In the app on the home screen, before there is anything: what was kept in a tab comes by a file. */
export const BringKey = () =>
  "standalone" in navigator && alone() ? <Button label={W.install.bring} href={book("files")} /> : null;

export function InstallHint() {
  useOffer();
  // What waits here would not come from the office.
  const byFile = useSync()?.kind !== "office";
  if (!offered()) return null;
  const menu = !offer;
  return (
    <section class="card hint">
      <p>{menu ? W.install.ios : W.install.hint}</p>
      {menu && keptHere() && (
        <p>
          {W.install.stays} {byFile ? W.install.file : W.install.pair}
        </p>
      )}
      <div class="form-foot">
        {menu ? (
          byFile && keptHere() && <Button go label={W.install.save} href={book("files", "", { now: "1" })} />
        ) : (
          <Button go label={W.install.take} act={install} />
        )}
        <Button label={W.install.close} act={decline} />
      </div>
    </section>
  );
}
