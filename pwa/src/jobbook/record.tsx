import { byMade, nameOf, ownersOf, text, type Rec } from "../records/fields";
import type { Repository } from "../records/repository";
import { book, href, recordHref } from "../screen/route";
import { useApp, when } from "../screen/context";
import { Button } from "../ui/controls";
import { LinkList } from "../ui/parts";
import { B } from "../text/jobbook";
import { Ahead } from "./ahead";
import { Clashes, Gone } from "./clash";
import { Facts } from "./facts";
import { SetupDoor } from "./job";
import { Notes } from "./notes";
import { Papers } from "./papers";
import { Card } from "./parts";
import { Photos } from "./photos";
import { ofRecord, Remove, titleOfSheet, useKinds, useRepository, useWho } from "./use";

/** Any record: its fields, its notes, where it was used. */
export const RecordPage = ofRecord(Open, [
  "part",
  "feature",
  "setup",
  "job",
  "machine",
  "fixture",
  "gauge",
  "material",
]);

function Open({ repo, rec }: { repo: Repository; rec: Rec }) {
  const { describe } = useApp();
  const { kinds } = useKinds(repo);
  const who = useWho();
  const kind = kinds.find((k) => k.key === rec.kind);
  const owner = ownersOf(rec)[0] ?? "";
  const over = repo.get(owner);
  const worksheet = rec.kind === "step" ? text(rec, "worksheet") : "";
  return (
    <div class="narrow">
      <Gone repo={repo} rec={rec} />
      <Clashes repo={repo} rec={rec} />
      <section class="card">
        <h2 class="unseen">{kind?.label}</h2>
        {owner && (
          <p>
            <a class="way" href={recordHref(owner)}>
              {over?.gone ? B.setup.ofGone(nameOf(over)) : B.setup.of(nameOf(over ?? rec))}
            </a>
          </p>
        )}
        <Facts repo={repo} rec={rec} kind={kind} />
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
          {!rec.newer && <Button label={B.change} href={book("edit", rec.id)} />}
          <Button label={B.history} href={book("history", rec.id)} />
          {!rec.gone && !rec.newer && <Remove repo={repo} rec={rec} name={nameOf(rec)} />}
        </p>
      </section>
      {rec.kind === "part" && <Ahead repo={repo} part={rec} />}
      <Papers rec={rec} />
      {["machine", "fixture", "gauge"].includes(rec.kind) && <Used repo={repo} rec={rec} />}
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
  const key = rec.kind === "gauge" ? "indicator" : rec.kind;
  const list = repo
    .all("setup")
    .filter((s) => text(s, key) === rec.id)
    .sort((a, b) => byMade(b, a));
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
