import type { ComponentType } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { Answer, Sheet } from "../engine/contract.gen";
import { useApp } from "../screen/context";
import { W } from "../text/words";

type Shown = ComponentType<{ sheet: Sheet; answer: Answer }>;

let shown: Shown | undefined;

/** A worksheet's drawing, imported lazily; one that was fetched before is drawn at once. */
export function Drawing({ sheet, answer }: { sheet: Sheet; answer: Answer }) {
  const { drawings } = useApp().load;
  const [page, setPage] = useState<{ Shown: Shown } | undefined>(shown && { Shown: shown });
  const [failed, setFailed] = useState(false);
  useEffect(() => {
    if (page) return;
    let here = true;
    drawings().then(
      (p) => {
        shown = p.Shown;
        if (here) setPage({ Shown: p.Shown });
      },
      () => here && setFailed(true),
    );
    return () => {
      here = false;
    };
  }, [page, drawings]);
  if (page) return <page.Shown sheet={sheet} answer={answer} />;
  return failed ? <p class="quiet">{W.drawing.missing}</p> : <div class="drawing-wait" />;
}
