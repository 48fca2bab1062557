import { useEffect, useState } from "preact/hooks";
import { W } from "../text/words";

/** Chromium's question whether to install, kept until the person asks for it. */
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
/** Browsers that install only by their share menu have this and no question of their own. */
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
          <button
            type="button"
            class="button go"
            onClick={() => {
              void offer?.prompt();
              offer = undefined;
              tell();
            }}
          >
            {W.install.take}
          </button>
        )}
        <button type="button" class="button" onClick={no}>
          {W.install.close}
        </button>
      </div>
    </section>
  );
}
