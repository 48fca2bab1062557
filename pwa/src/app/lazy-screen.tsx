import type { ComponentType } from "preact";
import { useEffect, useState } from "preact/hooks";
import { words } from "./context";
import { Blank } from "../ui/parts";
import { W } from "../text/words";
import { bookScreens, officeScreens, paperScreens } from "./lazy";

export interface LateProps {
  view: string;
  id: string;
  more: Record<string, string>;
}

function screensOf(view: string): Promise<{ Screen: ComponentType<LateProps> }> {
  switch (view) {
    case "where":
    case "pair":
    case "office":
      return officeScreens();
    case "print":
    case "files":
      return paperScreens();
    default:
      return bookScreens();
  }
}

/** A screen of the job book, which arrives after the first paint. */
export function Late(p: LateProps) {
  const [screens, set] = useState<{ Screen: ComponentType<LateProps> }>();
  const [fault, setFault] = useState("");
  const load = () => {
    setFault("");
    screensOf(p.view).then(set, (err: unknown) => setFault(words(err)));
  };
  // eslint-disable-next-line react-hooks/exhaustive-deps -- the shell keys it by its view
  useEffect(load, []);
  if (fault) {
    return (
      <Blank kind="broken" title={W.book.notLoaded} help={fault}>
        <button type="button" class="button go" onClick={load}>
          {W.home.again}
        </button>
      </Blank>
    );
  }
  return screens ? <screens.Screen {...p} /> : <Blank kind="loading" title={W.jobs.loading} />;
}
