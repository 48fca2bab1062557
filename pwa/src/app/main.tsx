import { render } from "preact";
import { useCallback, useEffect, useRef, useState } from "preact/hooks";
import type { Book } from "../records/open";
import { sayFault } from "../storage/persist";
import { startBridge } from "../engine/bridge";
import type { Describe } from "../engine/contract.gen";
import { loaders, openBook } from "./lazy";
import { watchInstall } from "../start/install";
import { words } from "../screen/context";
import { dress, prefs } from "../screen/prefs";
import { W } from "../text/words";
import { watchUpdates } from "./update";
import { Shell } from "./shell";
import "../ui/ui.css";

// The theme first, then the page, then the rest: what can wait for the first paint starts after it.
dress();
watchInstall();
const bridge = startBridge();
const updates = watchUpdates();

/** Why nothing can be stored here, in sentences. A store of a newer app has its own message. */
function closedBook(err: unknown): string {
  if ((err as Error).name === "NewerStore") return words(err);
  return sayFault(err) ?? `${W.settings.noStore} (${words(err)})`;
}

function Root() {
  const [describe, setDescribe] = useState<Describe>();
  const [describeFault, setDescribeFault] = useState("");
  const described = useRef(false);
  const [book, setBook] = useState<Book>();
  const [bookFault, setBookFault] = useState("");
  const load = useCallback(() => {
    bridge.describe().then(
      (d) => {
        described.current = true;
        setDescribe(d);
        setDescribeFault("");
      },
      (err: unknown) => setDescribeFault(words(err)),
    );
  }, []);
  useEffect(() => {
    load();
    openBook({
      ask: (op, json) => bridge.book(op, json),
      who: () => ({ by: prefs().who.trim(), unit: prefs().unit }),
      slow: () => setBookFault(W.sync.stuck),
    }).then(
      (book) => {
        setBook(book);
        setBookFault("");
      },
      (err: unknown) => setBookFault(closedBook(err)),
    );
    const look = () => {
      if (described.current) return;
      if (bridge.state === "stopped") setDescribeFault(bridge.trouble);
      if (bridge.state === "ready") load();
    };
    look();
    return bridge.onState(look);
  }, [load]);
  const again = useCallback(() => {
    bridge.retry();
    load();
  }, [load]);
  return (
    <Shell
      app={{ bridge, describe, describeFault, again, book, bookFault, load: loaders }}
      updates={updates}
    />
  );
}

const root = document.getElementById("app");
if (root) render(<Root />, root);
