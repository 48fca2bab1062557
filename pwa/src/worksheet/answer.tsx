import type { Answer, Cell, Field, Found, Result, Sheet, Source } from "../engine/contract.gen";
import { Drawing } from "../drawing/lazy";
import { Cautions, Figure, Fold, WideTable, type Level } from "../ui/parts";
import { W } from "../text/words";

/** How many cautions stand under the headline; they come ranked, and the rest stands below. */
const LOUD = 2;

const LEVELS = { good: "good", careful: "caution", stop: "refuse", open: "open" } as const;

/** The answer's mark as a sign; of an answer kept before answers had one, the gravest caution. */
export function levelOf(answer: Answer): Level {
  if (answer.mark) return LEVELS[answer.mark];
  const levels = answer.cautions.map((c) => c.level);
  return levels.includes("refuse") ? "refuse" : levels.includes("caution") ? "caution" : "good";
}

const shown = (r: Result, answer: Answer): Found | undefined => answer.results[r.key];

/** The headline: a text among the main results, as `verdict` is; "" when the worksheet has none. */
export function headline(sheet: Sheet, answer: Answer): { key: string; text: string } {
  const r = sheet.results.find((x) => x.main && x.kind === "text" && shown(x, answer));
  return r ? { key: r.key, text: answer.results[r.key]!.text } : { key: "", text: "" };
}

/** A result as it is read on its dial, where it has one. */
export const asRead = (found: Found): Found =>
  found.shown ? { ...found, text: found.shown, also: found.shownalso ?? "" } : found;

/**
 * Main results that are sizes or short texts, without the headline. A refused answer has none: what
 * the verdict overrules is not shown large.
 */
export function mains(sheet: Sheet, answer: Answer): { result: Result; found: Found }[] {
  if (answer.mark === "stop") return [];
  const head = headline(sheet, answer).key;
  return sheet.results.flatMap((result) => {
    const found = shown(result, answer);
    const block = result.kind === "table" || result.kind === "lines" || result.kind === "flag";
    return result.main && found && result.key !== head && !block ? [{ result, found: asRead(found) }] : [];
  });
}

/** Drawing, everything else the worksheet gives, how it was worked out, and from what. */
export function AnswerRest({
  sheet,
  answer,
  folded = true,
}: {
  sheet: Sheet;
  answer: Answer;
  folded?: boolean;
}) {
  const grave = answer.cautions.filter((c) => c.level !== "note");
  const others = [...grave.slice(LOUD), ...answer.cautions.filter((c) => c.level === "note")];
  const blocks = sheet.results.filter(
    (r) => r.main && (r.kind === "table" || r.kind === "lines") && answer.results[r.key],
  );
  return (
    <>
      {sheet.drawing && (
        <section class="card drawing-card" id="drawing" aria-label={W.sheet.drawing}>
          <h2>{W.sheet.drawing}</h2>
          <Drawing sheet={sheet} answer={answer} />
        </section>
      )}
      {blocks.map((r) => (
        <section class="card" key={r.key}>
          <h2>{r.label}</h2>
          <ResultBody result={r} found={answer.results[r.key]!} />
        </section>
      ))}
      <Cautions list={others} />
      <Fold title={W.sheet.all} open={!folded}>
        <AllResults sheet={sheet} answer={answer} />
      </Fold>
      {answer.lines.length > 0 && (
        <Fold title={W.sheet.working}>
          <ol class="lines">
            {answer.lines.map((l, i) => (
              <li key={i}>
                <p class="line-what">{l.what}</p>
                {l.formula && <code>{l.formula}</code>}
                {l.numbers && <code class="quiet">{l.numbers}</code>}
                <p class="line-result">
                  <span class="num">{l.result}</span>
                  {l.source && <span class="line-source"> {l.source}</span>}
                </p>
              </li>
            ))}
          </ol>
        </Fold>
      )}
      {answer.sources.length > 0 && (
        <Fold title={W.sheet.sources}>
          <Sources list={answer.sources} />
        </Fold>
      )}
    </>
  );
}

/** What a worksheet rests on. */
export function Sources({ list }: { list: Source[] }) {
  return (
    <ul class="sources">
      {list.map((s) => (
        <li key={s.key}>
          <b>{s.key}</b> {s.title}
        </li>
      ))}
    </ul>
  );
}

function AllResults({ sheet, answer }: { sheet: Sheet; answer: Answer }) {
  const head = headline(sheet, answer).key;
  return (
    <dl class="results">
      {sheet.results.map((r) => {
        const found = answer.results[r.key];
        if (!found) return null;
        const block = r.kind === "table" || r.kind === "lines";
        if ((block && r.main) || r.key === head) return null;
        return (
          <div key={r.key} class={block || found.text.length > 40 ? "result block" : "result"}>
            <dt>
              {r.label}
              {r.help && <small>{r.help}</small>}
            </dt>
            <dd>
              <ResultBody result={r} found={found} />
            </dd>
          </div>
        );
      })}
    </dl>
  );
}

function ResultBody({ result, found }: { result: Result; found: Found }) {
  const { value } = found;
  if (result.kind === "lines" && Array.isArray(value)) {
    return (
      <ol class="steps">
        {value.map((line, i) => (
          <li key={i}>{String(line)}</li>
        ))}
      </ol>
    );
  }
  if (result.kind === "table" && Array.isArray(value)) {
    return <ResultTable columns={result.columns ?? []} rows={value as Cell[][]} units={found.units ?? []} />;
  }
  if (result.kind === "flag") return <>{value === true || found.text === "yes" ? W.sheet.yes : W.sheet.no}</>;
  if (result.kind === "text" || result.kind === "choice") return <>{found.text}</>;
  return <Figure text={found.text} also={found.also} />;
}

const PLACES: Record<string, number> = { in: 3, mm: 2, thou: 2, um: 0 };

/**
 * Lengths in a column are given the same number of places, so that they read down: those of a
 * handwheel's dial, and one more where the column is read finer.
 */
function cell(value: Cell, kind: string, unit: string, fine: boolean): string {
  if (value === null) return "–";
  if (typeof value === "boolean") return value ? W.sheet.yes : W.sheet.no;
  if (typeof value === "number" && (kind === "length" || kind === "drill"))
    return value.toFixed((PLACES[unit] ?? 4) + (fine ? 1 : 0)).replace(/^-(?=[0.]*$)/, "");
  return String(value);
}

function ResultTable({ columns, rows, units }: { columns: Field[]; rows: Cell[][]; units: string[] }) {
  return (
    <WideTable
      name={columns.map((c) => c.label).join(", ")}
      heads={columns.map((c, i) => (
        <th key={c.key} scope="col" class={typeof rows[0]?.[i] === "number" ? "number" : ""}>
          {c.label}
          {units[i] && <small> {units[i]}</small>}
        </th>
      ))}
    >
      {rows.map((row, i) => (
        <tr key={i}>
          {row.map((v, j) => (
            <td key={j} class={typeof v === "number" ? "num number" : ""}>
              {cell(v, columns[j]?.kind ?? "", units[j] ?? "", columns[j]?.fine ?? false)}
            </td>
          ))}
        </tr>
      ))}
    </WideTable>
  );
}
