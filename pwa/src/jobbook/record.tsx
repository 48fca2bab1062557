import { nameOf, ownersOf, text, type Rec } from "../records/fields";
import type { Repository } from "../records/repository";
import { book, href, recordHref } from "../screen/route";
import type { ScreenProps } from "../screen/load";
import { useApp, when } from "../screen/context";
import { goOver, goUp } from "../screen/here";
import { Button } from "../ui/controls";
import { LinkList } from "../ui/parts";
import { N } from "../text/begin";
import { B } from "../text/jobbook";
import { Ahead } from "./ahead";
import { Clashes, Gone } from "./clash";
import { FacesPage, MachinePage, usedBy } from "./faces";
import { Facts } from "./facts";
import { SetupDoor } from "./job";
import { Notes } from "./notes";
import { Papers } from "./papers";
import { Card } from "./parts";
import { Photos } from "./photos";
import { ofRecord, Remove, titleOfSheet, useKinds, useRepository, useWho } from "./use";

/** Any record: its fields, its notes, where it was used. */
export const RecordPage = ofRecord<ScreenProps>(Open, [
  "part",
  "feature",
  "setup",
  "job",
  "machine",
  "fixture",
  "gauge",
  "material",
]);

function Open({ repo, rec, more }: { repo: Repository; rec: Rec; more: Record<string, string> }) {
  const card = <Fields repo={repo} rec={rec} back={more["back"] ?? ""} />;
  switch (rec.kind) {
    case "fixture":
    case "part":
      return <FacesPage repo={repo} rec={rec} more={more} card={card} />;
    case "machine":
      return <MachinePage repo={repo} rec={rec} more={more} card={card} />;
  }
  return card;
}

/** Tables of a fixture that its drawing and its list of places show. */
const PLACES = ["holes", "slots", "ribs", "keepout", "marks"];

/** The record as fields, with what belongs to it. */
function Fields({ repo, rec, back }: { repo: Repository; rec: Rec; back: string }) {
  const drawn = ["fixture", "part", "machine"].includes(rec.kind);
  const { describe } = useApp();
  const { kinds } = useKinds(repo);
  const who = useWho();
  const kind = kinds.find((k) => k.key === rec.kind);
  const owner = ownersOf(rec)[0] ?? "";
  const over = repo.get(owner);
  const worksheet = rec.kind === "step" ? text(rec, "worksheet") : "";
  return (
    <div class="narrow">
      {!drawn && (
        <>
          <Gone repo={repo} rec={rec} />
          <Clashes repo={repo} rec={rec} />
        </>
      )}
      {back && (
        <p class="foot-links">
          <Button go label={N.back} act={() => goUp(back)} />
        </p>
      )}
      <section class="card">
        <h2 class="unseen">{kind?.label}</h2>
        {owner && (
          <p>
            <a class="way" href={recordHref(owner)}>
              {over?.gone ? B.setup.ofGone(nameOf(over)) : B.setup.of(nameOf(over ?? rec))}
            </a>
          </p>
        )}
        <Facts repo={repo} rec={rec} kind={kind} hide={rec.kind === "fixture" ? PLACES : []} />
        <p class="quiet">
          {kind?.label}, {B.made(when(rec.made), who(rec.by))}
        </p>
        <p class="foot-links">
          {worksheet && (
            <Button
              go
              label={titleOfSheet(describe, worksheet)}
              href={href({ page: "sheet", sheet: worksheet, from: rec.id })}
            />
          )}
          {!rec.newer &&
            (back ? (
              <Button label={B.change} act={() => goOver(book("edit", rec.id, { back }))} />
            ) : (
              <Button label={B.change} href={book("edit", rec.id)} />
            ))}
          <Button label={B.history} href={book("history", rec.id)} />
          {!rec.gone && !rec.newer && <Remove repo={repo} rec={rec} name={nameOf(rec)} />}
        </p>
      </section>
      {rec.kind === "part" && <Ahead repo={repo} part={rec} />}
      <Papers rec={rec} />
      {rec.kind === "gauge" && <Used repo={repo} rec={rec} />}
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
function Used({ repo, rec }: { repo: Repository; rec: Rec }) {
  useRepository("step", "reading");
  const list = usedBy(repo, rec);
  const last = list[0];
  return (
    <Card title={B.shop.used}>
      <p class="quiet">{last ? B.shop.usedLast(when(text(last, "when") || last.made)) : B.shop.usedNone}</p>
      <LinkList>
        {list.slice(0, 50).map((s) => (
          <SetupDoor key={s.id} repo={repo} setup={s} job={repo.get(text(s, "job"))} />
        ))}
      </LinkList>
    </Card>
  );
}
