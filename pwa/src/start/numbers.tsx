import { nothingChosen, setPrefs, usePrefs } from "../screen/prefs";
import { Button } from "../ui/controls";
import { W } from "../text/words";

interface Way {
  label: string;
  unit: "in" | "mm";
  comma: boolean;
}

/** Where inches are the country's own. */
const INCHES = ["US", "LR", "MM"];

/** The ways of writing a size to choose from; none where the phone's language leaves but one. */
export function waysIn(language: string): Way[] {
  let comma = false;
  let inches = true;
  try {
    comma = new Intl.NumberFormat(language).format(1.5).includes(",");
    inches = INCHES.includes(new Intl.Locale(language).maximize().region ?? "US");
  } catch {
    // no language that this browser knows
  }
  if (inches && !comma) return [];
  return [
    ...(comma ? [{ label: "12,5 mm", unit: "mm", comma } as const] : []),
    { label: "12.5 mm", unit: "mm", comma: false },
    { label: "1/2 in", unit: "in", comma },
  ];
}

/** Asked once, at the first start; not any more once something was chosen. */
export function AskNumbers() {
  usePrefs();
  const ways = nothingChosen() ? waysIn(navigator.languages[0] ?? navigator.language) : [];
  if (ways.length === 0) return null;
  return (
    <section class="card ask-numbers" aria-label={W.home.numbers}>
      <h2>{W.home.numbers}</h2>
      <div class="mill-idle">
        {ways.map(({ label, unit, comma }) => (
          <Button key={label} label={label} act={() => setPrefs({ unit, comma })} />
        ))}
      </div>
    </section>
  );
}
