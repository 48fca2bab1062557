import type { ComponentType } from "preact";
import { useEffect, useState } from "preact/hooks";
import { useApp, words } from "./context";
import { Button } from "../ui/controls";
import { Blank } from "../ui/parts";
import { W } from "../text/words";
import type { ScreenProps } from "./load";

/** A screen that is imported lazily. */
export function Lazy(p: ScreenProps) {
  const { screens } = useApp().load;
  const [there, set] = useState<{ Screen: ComponentType<ScreenProps> }>();
  const [fault, setFault] = useState("");
  const load = () => {
    setFault("");
    screens(p.view).then(set, (err: unknown) => setFault(words(err)));
  };
  // eslint-disable-next-line react-hooks/exhaustive-deps -- the shell keys it by its view
  useEffect(load, []);
  if (fault) {
    return (
      <Blank kind="broken" title={W.book.notLoaded} help={fault}>
        <Button go label={W.home.again} act={load} />
      </Blank>
    );
  }
  return there ? <there.Screen {...p} /> : <Blank kind="loading" title={W.jobs.loading} />;
}
