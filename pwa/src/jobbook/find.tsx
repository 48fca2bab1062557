import { useEffect, useState } from "preact/hooks";
import { byMade, nameOf, text } from "../records/fields";
import { book } from "../screen/route";
import { Hits, SearchField, useSearch } from "../screen/search";
import { Blank, FaultLine } from "../ui/parts";
import { B } from "../text/jobbook";
import { LookDoor } from "./look";
import { Choice } from "./parts";
import { Gate, useKinds, useRepository } from "./use";

const MOST = 30;
const KINDS = ["job", "setup", "reading", "kept", "fixture", "machine", "tool", "note", "photo"];

/** Search over all pages and records. */
export function Find({ more }: { more: Record<string, string> }) {
  const { repo, ready, fault } = useRepository("fixture", "machine");
  const { kinds } = useKinds(repo);
  const [typed, setTyped] = useState(more["q"] ?? "");
  const [only, setOnly] = useState(more["kind"] ?? "");
  const [to, setTo] = useState(more["to"] ?? "");
  const query = typed.trim();
  const found = useSearch(query, { most: MOST, ...(only && { kinds: [only] }), ...(to && { to: [to] }) });
  const { finder, records: out } = found;
  const pages = only || to ? [] : found.pages;
  useEffect(() => {
    // What is asked stays in the address, so that going back from a record repeats the search; not
    // once the user has left for another page.
    if (!location.hash.startsWith(book("find", ""))) return;
    const now = book("find", "", {
      ...(query && { q: query }),
      ...(only && { kind: only }),
      ...(to && { to }),
    });
    if (location.hash !== now) history.replaceState(history.state, "", now);
  }, [query, only, to]);

  const label = (key: string) => kinds.find((k) => k.key === key)?.plural ?? key;
  const plates = ready ? [...repo!.all("fixture"), ...repo!.all("machine")].sort((a, b) => byMade(b, a)) : [];
  return (
    <div class="narrow find" data-whole={finder?.whole ? "yes" : "no"}>
      <LookDoor repo={repo} />
      <SearchField value={typed} set={setTyped} />
      <FaultLine id="find-fault" text={found.fault || undefined} />
      <div class="fields find-only">
        <Choice
          id="find-kind"
          label={B.find.kinds}
          none={B.find.all}
          options={KINDS.map((key) => ({ key, label: label(key) }))}
          value={only}
          set={setOnly}
        />
        {plates.length > 0 && (
          <Choice
            id="find-to"
            label={B.find.plate}
            none={B.form.choose}
            options={plates.map((p) => ({ key: p.id, label: `${nameOf(p)} ${text(p, "tag")}` }))}
            value={to}
            set={(plate) => {
              setTo(plate);
              if (plate && !only) setOnly("setup");
            }}
          />
        )}
      </div>
      <Gate ready={!!finder} fault={fault}>
        {finder && !finder.whole && !finder.fault && (
          <p class="quiet" role="status">
            {B.find.building(finder.done)}
          </p>
        )}
        {out && (
          <p class="quiet" role="status" data-ms={out.ms}>
            {out.total > 0 && B.find.found(out.total, MOST)}
          </p>
        )}
        {!query && !to && <Blank kind="empty" title={B.find.start} />}
        {out?.total === 0 && pages.length === 0 && finder?.whole && (
          <Blank kind="empty" title={B.find.none(query)} help={B.find.noneHelp} />
        )}
      </Gate>
      <Hits of={{ ...found, pages }} />
    </div>
  );
}
