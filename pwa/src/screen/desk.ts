import { useEffect, useState } from "preact/hooks";

const wide = matchMedia("(min-width: 900px)");

/** Whether the screen is a desk's: what stands side by side there is not made on a phone at all. */
export function useDesk(): boolean {
  const [is, set] = useState(wide.matches);
  useEffect(() => {
    const turn = () => set(wide.matches);
    wide.addEventListener("change", turn);
    return () => wide.removeEventListener("change", turn);
  }, []);
  return is;
}
