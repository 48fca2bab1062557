import { useEffect, useRef, useState } from "preact/hooks";
import { byMade, nameOf, text } from "../records/fields";
import type { Hit } from "../records/finder";
import { book } from "../screen/route";
import { useApp, words } from "../screen/context";
import { TextField } from "../ui/controls";
import { Blank, LinkCard, FaultLine } from "../ui/parts";
import { usePrefs } from "../screen/prefs";
import { B } from "../text/jobbook";
import { dots } from "../text/words";
import { recordHref } from "./facts";
import { finderOf } from "./finding";
import { LookDoor } from "./look";
import { Choice } from "./parts";
import { dateWords } from "./saying";
import { Gate, useKinds, useRepository } from "./use";

const MOST = 30;
const KINDS = ["job", "setup", "reading", "kept", "fixture", "machine", "tool", "note", "photo"];

/** Search over all records. */
export function Find({ more }: { more: Record<string, string> }) {
  const { bridge } = useApp();
  const { unit } = usePrefs();
  const { repo, ready, fault } = useRepository("fixture", "machine");
  const { kinds } = useKinds(repo);
  const [typed, setTyped] = useState(more["q"] ?? "");
  const [only, setOnly] = useState(more["kind"] ?? "");
  const [to, setTo] = useState(more["to"] ?? "");
  const [out, setOut] = useState<{ for: string; hits: Hit[]; total: number; ms: number }>();
  const [trouble, setTrouble] = useState("");
  const [, draw] = useState(0);
  const turn = useRef(0);
  const finder = repo ? finderOf(repo, bridge) : undefined;
  useEffect(() => {
    if (!finder) return;
    const off = finder.onChange(() => draw((n) => n + 1));
    void finder.start();
    return off;
  }, [finder]);

  const query = typed.trim();
  const part = finder && !finder.whole ? Math.floor(finder.done / 2000) : -1;
  useEffect(() => {
    if (!finder || (!query && !to)) return setOut(undefined);
    const mine = ++turn.current;
    const began = performance.now();
    finder.find({ query, unit, most: MOST, ...(only && { kinds: [only] }), ...(to && { to: [to] }) }).then(
      ({ hits, total }) => {
        if (mine !== turn.current) return;
        setTrouble("");
        setOut({ for: query, hits, total, ms: Math.round(performance.now() - began) });
        // The query stays in the address, so that going back from a record repeats the search; not
        // once the user has left for another page.
        if (!location.hash.startsWith(book("find", ""))) return;
        history.replaceState(
          null,
          "",
          book("find", "", { ...(query && { q: query }), ...(only && { kind: only }), ...(to && { to }) }),
        );
      },
      (err: unknown) => mine === turn.current && setTrouble(words(err)),
    );
  }, [finder, query, only, to, unit, part]);

  const label = (key: string) => kinds.find((k) => k.key === key)?.plural ?? key;
  const plates = ready ? [...repo!.all("fixture"), ...repo!.all("machine")].sort((a, b) => byMade(b, a)) : [];
  return (
    <Gate ready={!!finder} fault={fault}>
      <div class="narrow find" data-whole={finder?.whole ? "yes" : "no"}>
        <LookDoor repo={repo} />
        <TextField
          id="find"
          search
          label={B.find.label}
          value={typed}
          set={setTyped}
          maxLength={200}
          placeholder={B.find.like}
          autocomplete="off"
          autocapitalize="off"
          spellcheck={false}
          under={<FaultLine id="find-fault" text={trouble || finder?.fault || undefined} />}
        />
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
        {finder && !finder.whole && !finder.fault && (
          <p class="quiet" role="status">
            {B.find.building(finder.done)}
          </p>
        )}
        {out ? (
          <p class="quiet" role="status" data-ms={out.ms}>
            {out.total > 0 && B.find.found(out.total, MOST)}
          </p>
        ) : (
          <Blank kind="empty" title={B.find.start} />
        )}
        {out?.total === 0 && finder?.whole && (
          <Blank kind="empty" title={B.find.none(query)} help={B.find.noneHelp} />
        )}
        <ul class="link-list hits">
          {(out?.hits ?? []).map((h) => (
            <li key={h.id}>
              <LinkCard
                href={recordHref(h.id)}
                name={h.title}
                lines={[h.detail || undefined]}
                foot={dots(h.label, h.date && dateWords(h.date.slice(0, 10)), h.demo && B.mill.invented)}
              />
            </li>
          ))}
        </ul>
      </div>
    </Gate>
  );
}
