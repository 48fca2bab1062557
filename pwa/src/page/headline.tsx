import { useEffect, useState } from "preact/hooks";
import type { Caution } from "../engine/contract.gen";
import { Sign, type Level } from "../ui/parts";
import { W } from "../text/words";
import type { Work } from "./use-work";

const CARE = /^▲\s*/;
/** Both meanings of a slip: "500 thou? Or 1/2 thou?". */
const BOTH = /^(.+)\? Or (.+)\?$/;
/** A mixed number stays on its line: 1-3/4. */
const MIXED = /(\d+-\d+\/\d+)/;

/**
 * The answer: its mark, what to do in at most two lines, at most three facts. It stays in sight. A
 * likely slip is asked about with both meanings as keys.
 */
export function Headline({
  work,
  level,
  slip,
  take,
  leave,
}: {
  work: Work;
  level: Level | "none";
  slip?: Caution | undefined;
  /** Takes what was likely meant, or what is typed as it is. */
  take: (c: Caution) => void;
  leave: (c: Caution) => void;
}) {
  const text = slip?.asks || work.headline;
  const both = slip && BOTH.exec(text);
  return (
    <section class={`first is-${level}${work.stale ? " stale" : ""}`} id="answer" aria-label={W.sheet.answer}>
      <p class={`headline${text.length > 26 ? " long" : ""}`}>
        {level !== "none" && <Sign level={slip && level !== "refuse" ? "caution" : level} size={26} />}
        <span>{text.split(MIXED).map((part, i) => (i % 2 ? <span class="whole">{part}</span> : part))}</span>
      </p>
      {slip ? (
        <div class="slip-keys">
          <button type="button" class="chip" onClick={() => leave(slip)}>
            {both?.[1] ?? W.page.asTyped}
          </button>
          <button type="button" class="chip go" onClick={() => take(slip)}>
            {both?.[2] ?? ((slip.means ?? "").length > 18 ? W.page.takeIt : slip.means)}
          </button>
        </div>
      ) : work.fault && work.facts.length === 0 ? (
        <p class="facts wrong">{work.fault.message}</p>
      ) : (
        work.facts.length > 0 && (
          <p class="facts">
            {work.facts.map((f, i) => (
              <span key={i} class={CARE.test(f) ? "care" : ""}>
                {f}
              </span>
            ))}
          </p>
        )
      )}
      <Spoken text={work.fault ? work.fault.message : [text, ...work.facts].join(", ")} />
    </section>
  );
}

/** Said aloud once typing rests, so that a screen reader is not interrupted at each key. */
function Spoken({ text }: { text: string }) {
  const [said, say] = useState("");
  useEffect(() => {
    const t = setTimeout(() => say(text), 700);
    return () => clearTimeout(t);
  }, [text]);
  return (
    <p class="unseen" role="status" aria-live="polite">
      {said}
    </p>
  );
}
