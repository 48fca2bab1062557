import { useEffect, useRef, useState } from "preact/hooks";
import { SHEET } from "../screen/pages";
import { book } from "../screen/route";
import { Hits, SearchField, useSearch, type Search } from "../screen/search";
import { Button } from "../ui/controls";
import { Blank, FaultLine } from "../ui/parts";
import { B } from "../text/jobbook";
import { LookDoor } from "./look";
import { Gate, useRepository } from "./use";

const MOST = 30;

type Group = Exclude<keyof typeof B.find.groups, "all">;

/** The kinds of record that one chip stands for. */
const groups: Record<Group, string[]> = {
  places: ["fixture", "machine", "part", "feature"],
  setups: ["setup", "step", "reading"],
  notes: ["note", "photo"],
  jobs: ["job", "kept"],
  tools: ["tool", "gauge", "set", "material"],
  sheets: [SHEET],
};
const keys = Object.keys(groups) as Group[];

/** Search over all pages and records. */
export function Find({ more }: { more: Record<string, string> }) {
  const { repo, fault } = useRepository();
  const [typed, setTyped] = useState(more["q"] ?? "");
  const [only, setOnly] = useState(keys.find((key) => key === more["only"]));
  const query = typed.trim();
  const found = useSearch(query, { most: MOST, ...(only && { kinds: groups[only] }) });
  const { finder, records: out } = found;
  useEffect(() => {
    // What is asked stays in the address, so that going back from a record repeats the search; not
    // once the user has left for another page.
    if (!location.hash.startsWith(book("find", ""))) return;
    const now = book("find", "", { ...(query && { q: query }), ...(only && { only }) });
    if (location.hash !== now) history.replaceState(history.state, "", now);
  }, [query, only]);
  const type = (text: string) => {
    setTyped(text);
    setOnly(undefined);
  };
  return (
    <div class="narrow find" data-whole={finder?.whole ? "yes" : "no"} data-ms={out?.ms}>
      <LookDoor repo={repo} />
      <SearchField value={typed} set={type} />
      <FaultLine id="find-fault" text={found.fault || undefined} />
      <Gate ready={!!finder} fault={fault}>
        {finder && !finder.whole && !finder.fault && (
          <p class="quiet" role="status">
            {B.find.building(finder.done)}
          </p>
        )}
        {!query && <Blank kind="empty" title={B.find.start} />}
        {out && found.list.length === 0 && finder?.whole && (
          <Blank kind="empty" title={B.find.none(query)} help={B.find.noneHelp} />
        )}
      </Gate>
      {finder?.whole && <Chips of={found} only={only} set={setOnly} />}
      <Hits list={found.list} />
    </div>
  );
}

/** How many were found of what, and a key to see these alone. */
function Chips({ of, only, set }: { of: Search; only: Group | undefined; set: (only?: Group) => void }) {
  const kinds = of.records?.kinds ?? {};
  const pages = useRef(0); // several worksheets are one page
  if (!only) pages.current = of.list.filter((one) => "page" in one).length;
  const counts = keys.map((key) =>
    key === "sheets" ? pages.current : groups[key].reduce((sum, kind) => sum + (kinds[kind] ?? 0), 0),
  );
  const all = counts.reduce((sum, n) => sum + n, 0);
  if (counts.filter(Boolean).length < 2 && !only) return null;
  return (
    <div class="chips find-chips" role="group" aria-label={B.find.only}>
      <Button class="chip" label={`${B.find.groups.all} ${all}`} pressed={!only} act={() => set(undefined)} />
      {keys.map(
        (key, i) =>
          counts[i]! > 0 && (
            <Button
              key={key}
              class="chip"
              label={`${B.find.groups[key]} ${counts[i]}`}
              pressed={only === key}
              act={() => set(only === key ? undefined : key)}
            />
          ),
      )}
    </div>
  );
}
