import { byMade, nameOf, text, type Rec } from "../records/fields";
import type { Repository } from "../records/repository";
import { book } from "../screen/route";
import { useApp, useLoaded, when } from "../screen/context";
import { usePrefs } from "../screen/prefs";
import { Figure } from "../ui/parts";
import { B } from "../text/jobbook";
import { readingsOf } from "./atmill";
import { Card } from "./parts";
import { lastOfEach, places, type Place } from "./readlogic";
import { tell, useKinds, useRepository } from "./use";

const R = B.read;

/** Every reading, the latest of each place first; those it replaced stand under it. */
export function Listed({ repo, setup }: { repo: Repository; setup: Rec }) {
  const { say } = useApp();
  const kinds = useKinds(repo).kinds.find((k) => k.key === "reading")?.fields;
  const names = kinds?.find((f) => f.key === "kind")?.options ?? [];
  const all = readingsOf(repo, setup);
  const at = places(setup, all);
  const held = useHeld(setup, all);
  const remove = (r: Rec) => tell(say, repo.remove(r), R.undone(nameOf(r)), (gone) => repo.restore(gone));
  const groups = [...new Set([...all].sort(byMade).map((r) => text(r, "kind")))].reverse();
  return (
    <Card title={R.list}>
      {all.length === 0 && <p class="quiet">{R.none}</p>}
      {groups.map((kind) => {
        const last = lastOfEach(all, kind, at);
        const earlier = all.filter((r) => text(r, "kind") === kind && !last.includes(r)).sort(byMade);
        return (
          <div key={kind} class="read-group">
            <h3>{names.find((k) => k.key === kind)?.label ?? kind}</h3>
            <ul class="read-list">
              {[...last, ...earlier].map((r) => (
                <li key={r.id} class={earlier.includes(r) ? "earlier" : ""}>
                  <OneReading
                    r={r}
                    place={at.find((p) => p.name === text(r, "station"))}
                    held={last.includes(r) ? held(text(r, "station"), kind) : undefined}
                  />
                  <button
                    type="button"
                    class="square"
                    aria-label={R.remove(nameOf(r))}
                    onClick={() => remove(r)}
                  >
                    ✕
                  </button>
                </li>
              ))}
            </ul>
          </div>
        );
      })}
      {all.length > 0 && text(setup, "wanted") && <p class="quiet">{`± ${text(setup, "wanted")}`}</p>}
    </Card>
  );
}

function OneReading({ r, place, held }: { r: Rec; place?: Place | undefined; held?: Held | undefined }) {
  const off = held?.difference;
  return (
    <a class="read-line" href={book("record", r.id)}>
      <span>
        <b>{text(r, "station")}</b>
        {text(r, "x") && <small class="num"> {text(r, "x")}</small>}
        <small class="quiet">
          {" "}
          {when(text(r, "when") || r.made)} {text(r, "who")}
        </small>
        {place?.expected && (
          <small class="quiet">
            {R.expected(place.expected)}
            {off && `, ${R.off(off)}`}
            {held?.beyond && <b class="beyond">{R.beyond}</b>}
          </small>
        )}
      </span>
      <Figure text={text(r, "value")} />
    </a>
  );
}

interface Held {
  station: string;
  kind?: string;
  difference?: string;
  beyond?: boolean;
}

/** The readings compared with those of the last time, by the rules. */
function useHeld(setup: Rec, all: readonly Rec[]): (station: string, kind: string) => Held | undefined {
  const { repo } = useRepository();
  const { unit } = usePrefs();
  const some = setup.values["expected"] !== undefined;
  // Only a comparison: where it fails, the readings stand without it.
  const list = useLoaded(async () => {
    if (!repo || !some) return undefined;
    const limit = text(setup, "wanted");
    const [doc, docs] = await Promise.all([repo.doc(setup.id), repo.docs(all.map((r) => r.id))]);
    return repo.ask<{ rows: Held[] }>("readings", { setup: doc, docs, unit, ...(limit && { limit }) });
  }, [repo, some, all.map((r) => r.id).join(), unit, setup.changed]);
  return (station, kind) =>
    list.value?.rows.find((h) => h.station === station && (!h.kind || h.kind === kind));
}
