import { useEffect, useState } from "preact/hooks";
import { words } from "../ui/app";
import { Blank } from "../ui/parts";
import { W } from "../words/words";
import { bookScreens } from "./door";

export interface LateProps {
  view: string;
  id: string;
  more: Record<string, string>;
}

/** A screen of the job book, which arrives after the first paint. */
export function Late(p: LateProps) {
  const [screens, set] = useState<Awaited<ReturnType<typeof bookScreens>>>();
  const [fault, setFault] = useState("");
  const load = () => {
    setFault("");
    bookScreens().then(set, (err: unknown) => setFault(words(err)));
  };
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
