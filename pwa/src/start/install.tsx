import { useEffect, useState } from "preact/hooks";
import { href } from "../screen/route";
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

/** On Start, where nothing runs: a key and no words; where only a menu does it, the way to them. */
export function InstallKey() {
  useOffer();
  if (declined() || alone()) return null;
  if (offer) return <Button label={W.install.key} act={install} />;
  return byMenu() ? <Button label={W.install.key} href={href({ page: "settings" })} /> : null;
}

export function InstallHint() {
  useOffer();
  const [gone, setGone] = useState(declined);
  if (gone || alone() || (!offer && !byMenu())) return null;
  const no = () => {
    try {
      localStorage.setItem(KEY, "no");
    } catch {
      // Asked again next time, which does no harm.
    }
    setGone(true);
  };
  return (
    <section class="card hint">
      <p>{offer ? W.install.hint : W.install.ios}</p>
      <div class="form-foot">
        {offer && <Button go label={W.install.take} act={install} />}
        <Button label={W.install.close} act={no} />
      </div>
    </section>
  );
}
