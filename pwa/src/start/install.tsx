import { useEffect, useState } from "preact/hooks";
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

export function InstallHint() {
  const [, draw] = useState(0);
  const [gone, setGone] = useState(declined);
  useEffect(() => {
    const l = () => draw((n) => n + 1);
    listeners.add(l);
    return () => void listeners.delete(l);
  }, []);
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
        {offer && (
          <Button
            go
            label={W.install.take}
            act={() => {
              void offer?.prompt();
              offer = undefined;
              tell();
            }}
          />
        )}
        <Button label={W.install.close} act={no} />
      </div>
    </section>
  );
}
