import { useEffect, useState } from "preact/hooks";
import { usePrefs } from "../screen/prefs";

/**
 * Whether boxes have room on the drawing. Where they have none (gloves, a narrow or low screen, large
 * text) a list of cells mirrors the drawing, which then carries letters.
 */
export function useListed(): boolean {
  const { glove } = usePrefs();
  const [small, set] = useState(tooSmall);
  useEffect(() => {
    const look = () => set(tooSmall());
    addEventListener("resize", look);
    return () => removeEventListener("resize", look);
  }, []);
  return glove || small;
}

/** The text size that the phone gives, against the usual 16 pixels. */
const textSize = (): number => parseFloat(getComputedStyle(document.documentElement).fontSize) / 16;

function tooSmall(): boolean {
  return innerWidth < 350 || innerHeight < 480 || textSize() > 1.25;
}
