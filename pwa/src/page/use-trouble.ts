import { useEffect, useState } from "preact/hooks";
import type { Bridge } from "../engine/bridge";

/** Why the worker stopped; "" while it runs. */
export function useTrouble(bridge: Bridge): string {
  const [trouble, set] = useState(bridge.trouble);
  useEffect(() => bridge.onState(() => set(bridge.trouble)), [bridge]);
  return trouble;
}
