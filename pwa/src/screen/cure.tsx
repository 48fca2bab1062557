import type { Trouble } from "../sync/status";
import { pairable } from "../sync/connection";
import { Button } from "../ui/controls";
import { W } from "../text/words";
import { useApp } from "./context";
import { book as toBook, href } from "./route";

const C = W.sync.cure;

/** The key that cures a trouble, or tries again where it is cured elsewhere. */
export function Cure({ of: t, go }: { of: Trouble; go?: boolean }) {
  const { book, say } = useApp();
  const key = (label: string, to: string) => <Button {...(go && { go })} label={label} href={to} />;
  if (t.id) return key(C.record, toBook("record", t.id));
  if (t.wall && pairable.includes(t.wall)) return key(C.pair, href({ page: "office", view: "pair" }));
  if (t.wall === "moved" || t.wall === "large") return key(C.file, toBook("files"));
  if (t.wall !== "newer") return <Button {...(go && { go })} label={C.again} act={() => book?.syncNow()} />;
  return (
    <Button
      {...(go && { go })}
      label={C.update}
      act={() => {
        void navigator.serviceWorker
          ?.getRegistration()
          .then((r) => r?.update())
          .catch(() => undefined); // unreachable: tried again by itself
        say(C.updated);
      }}
    />
  );
}
