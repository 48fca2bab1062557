import { byMade, nameOf, text, type Rec } from "../records/fields";
import type { Shelf } from "../records/repository";
import { book, href } from "../screen/route";
import { useApp, useTitle, when } from "../screen/context";
import { Blank } from "../ui/parts";
import { B } from "../text/jobbook";
import { Ahead } from "./ahead";
import { Clashes, Gone } from "./clash";
import { Facts, recordHref } from "./facts";
import { SetupDoor } from "./job";
import { Notes } from "./notes";
import { Papers } from "./papers";
import { Photos } from "./photos";
import { Gate, storeFault, titleOfSheet, useKinds, useShelf, useWho } from "./use";

/** Any record: what it says, what was said of it, where it was used. */
export function RecordPage({ id }: { id: string }) {
  const kind = id.slice(0, id.indexOf(":"));
  const { shelf, ready, fault } = useShelf(
    kind,
    "feature",
    "setup",
    "job",
    "machine",
    "fixture",
    "gauge",
    "material",
  );
  const rec = shelf?.get(id);
  useTitle(rec ? nameOf(rec) : "");
  return (
    <Gate ready={ready} fault={fault}>
      {shelf && rec ? (
        <Open shelf={shelf} rec={rec} />
      ) : (
        <Blank kind="empty" title={B.gone} help={B.goneHelp} />
      )}
    </Gate>
  );
}

function Open({ shelf, rec }: { shelf: Shelf; rec: Rec }) {
  const { say, describe } = useApp();
  const { kinds } = useKinds(shelf);
  const who = useWho();
  const kind = kinds.find((k) => k.key === rec.kind);
  const owner = text(rec, "setup") || text(rec, "job") || text(rec, "part") || text(rec, "about");
  const worksheet = rec.kind === "step" ? text(rec, "worksheet") : "";
  return (
    <div class="narrow">
      <Gone shelf={shelf} rec={rec} />
      <Clashes shelf={shelf} rec={rec} />
      <section class="card">
        <h2 class="unseen">{kind?.label}</h2>
        {owner && (
          <p>
            <a class="way" href={recordHref(owner)}>
              {B.setup.of(nameOf(shelf.get(owner) ?? rec))}
            </a>
          </p>
        )}
        <Facts shelf={shelf} rec={rec} kind={kind} />
        <p class="quiet">
          {kind?.label}, {B.made(when(rec.made), who(rec.by))}
        </p>
        <p class="foot-links">
          {worksheet && (
            <a class="button go" href={href({ page: "sheet", sheet: worksheet, from: rec.id })}>
              {titleOfSheet(describe, worksheet)}
            </a>
          )}
          {!rec.newer && (
            <a class="button" href={book("edit", rec.id)}>
              {B.change}
            </a>
          )}
          <a class="button" href={book("history", rec.id)}>
            {B.history}
          </a>
          {!rec.gone && !rec.newer && (
            <button
              type="button"
              class="button"
              onClick={() => {
                shelf.remove(rec.id).then(
                  () => say(B.removed(nameOf(rec)), () => void shelf.restore(rec.id)),
                  (err: unknown) => say(storeFault(err)),
                );
              }}
            >
              {B.remove}
            </button>
          )}
        </p>
      </section>
      {rec.kind === "part" && <Ahead shelf={shelf} part={rec} />}
      <Papers rec={rec} />
      {["machine", "fixture", "gauge"].includes(rec.kind) && <Used shelf={shelf} rec={rec} />}
      {!["photo", "note", "reading", "step"].includes(rec.kind) && (
        <>
          <Photos about={rec.id} />
          <Notes about={rec.id} />
        </>
      )}
    </div>
  );
}

/** When was this last used: the setups that name it, the latest first. */
function Used({ shelf, rec }: { shelf: Shelf; rec: Rec }) {
  useShelf("step", "reading");
  const key = rec.kind === "gauge" ? "indicator" : rec.kind;
  const list = shelf
    .all("setup")
    .filter((s) => text(s, key) === rec.id)
    .sort((a, b) => byMade(b, a));
  const last = list[0];
  return (
    <section class="card" aria-label={B.shop.used}>
      <h2>{B.shop.used}</h2>
      {last ? (
        <p class="quiet">{B.shop.usedLast(when(text(last, "when") || last.made))}</p>
      ) : (
        <p class="quiet">{B.shop.usedNone}</p>
      )}
      <ul class="doors">
        {list.slice(0, 50).map((s) => (
          <li key={s.id}>
            <SetupDoor shelf={shelf} setup={s} job={shelf.get(text(s, "job"))} />
          </li>
        ))}
      </ul>
    </section>
  );
}
