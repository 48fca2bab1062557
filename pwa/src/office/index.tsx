// The screens about this device and the office: one file, imported lazily.
import type { ScreenProps } from "../screen/load";
import { Office } from "./office";
import { Open } from "./open";
import { Pair } from "./pair";
import { Where } from "./where";

export function Screen({ view, more }: ScreenProps) {
  switch (view) {
    case "pair":
      return <Pair code={more["code"] ?? ""} />;
    case "open":
      return <Open code={more["code"] ?? ""} />;
    case "office":
      return <Office />;
    default:
      return <Where />;
  }
}
