import { render } from "preact";
import { useCallback, useEffect, useRef, useState } from "preact/hooks";
import type { Book } from "../records/open";
import { sayFault } from "../storage/persist";
import { officeAsker, startBridge } from "../engine/bridge";
import type { Describe } from "../engine/contract.gen";
import { loaded, loaders, openBook } from "./lazy";
import { watchInstall } from "../start/install";
import { readPairing } from "../sync/pairing";
import { words } from "../screen/context";
import { dress, prefs } from "../screen/prefs";
import { W } from "../text/words";
import { firstVisit, watchUpdates } from "./update";
import { Shell } from "./shell";
import "../ui/ui.css";

// The theme first, then the page, then the rest: what can wait for the first paint starts after it.
dress();
watchInstall();
const updates = watchUpdates();

// On a first visit everything comes down one line, perhaps a poor one. A worksheet has it, and the
// processor, until the first answer from the office may be there; other pages until the records are.
// calc.wasm, four fifths of all bytes, comes then, and behind it what the service worker stores.
const after = (ms: number): Promise<unknown> => new Promise((go) => setTimeout(go, ms));
const onSheet = firstVisit && /^#\/sheet\//.test(location.hash);
let exchanged: () => void;
const exchange = new Promise<void>((go) => (exchanged = go));
const shown = (): Promise<unknown> =>
  loaded().then(() => Promise.race([after(onSheet ? 1500 : 2500), exchange]));
const bridge = startBridge(
  firstVisit
    ? {
        shown,
        office: officeAsker(() => readPairing()?.token),
        came: (bytes, all) => {
          updates.came(bytes);
          if (all) updates.begin(); // the line is free, and its own files are fetched while it compiles
        },
      }
    : undefined,
);
if (firstVisit) {
  bridge.onState((state) => state === "ready" && updates.begin());
  void after(20_000).then(() => updates.begin()); // calc.wasm may take longer still
} else updates.begin();
const bookTurn = onSheet ? bridge.describe().then(shown, shown) : Promise.resolve();

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
    bookTurn
      .then(() =>
        openBook({
          ask: (op, json) => bridge.book(op, json),
          who: () => ({ by: prefs().who.trim(), unit: prefs().unit }),
          slow: () => setBookFault(W.sync.stuck),
        }),
      )
      .then(
        (book) => {
          setBook(book);
          const look = () =>
            !book.sync.moving && (book.sync.connected || book.sync.trouble[0]) && exchanged();
          look();
          book.onSync(look);
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

// A browser below the floor has been told so by floor.js.
const root = document.getElementById("app");
if (root && !document.documentElement.dataset["old"]) render(<Root />, root);
