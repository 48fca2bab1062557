import { toChildArray, type ComponentChildren } from "preact";
import type { Caution, Option } from "../engine/contract.gen";
import { W } from "../text/words";

export type Level = Caution["level"] | "good" | "open";

/**
 * The sign of a level: shape first, colour second. Octagon: stop; triangle: careful; square: note;
 * ring with a tick: good.
 */
export function Sign({ level, size = 28 }: { level: Level; size?: number }) {
  const shape = {
    refuse: (
      <>
        <path class="sign-body" d="M10 2H22L30 10V22L22 30H10L2 22V10Z" />
        <path class="sign-mark" d="M9 16H23" />
      </>
    ),
    caution: (
      <>
        <path class="sign-body" d="M16 2L31 29H1Z" />
        <path class="sign-mark" d="M16 11V20M16 23.5V26" />
      </>
    ),
    note: (
      <>
        <path class="sign-body" d="M3 3H29V29H3Z" />
        <path class="sign-mark" d="M16 14V25M16 7.5V10" />
      </>
    ),
    open: (
      <>
        <circle class="sign-body" cx="16" cy="16" r="14" />
        <path class="sign-mark" d="M8 16H10M15 16H17M22 16H24" />
      </>
    ),
    good: (
      <>
        <circle class="sign-body" cx="16" cy="16" r="14" />
        <path class="sign-mark" d="M9 17L14 22L23 11" />
      </>
    ),
  }[level];
  return (
    <svg class={`sign sign-${level}`} viewBox="0 0 32 32" width={size} height={size} aria-hidden="true">
      {shape}
    </svg>
  );
}

const ORDER = { refuse: 0, caution: 1, note: 2 };

/**
 * The answer's cautions, the gravest first; notes stand together in one block. One that asks about a
 * likely slip has a key that puts in what was likely meant.
 */
export function Cautions({ list, use }: { list: Caution[]; use?: ((c: Caution) => void) | undefined }) {
  const grave = list.filter((c) => c.level !== "note").sort((a, b) => ORDER[a.level] - ORDER[b.level]);
  const notes = list.filter((c) => c.level === "note");
  return (
    <>
      {grave.length > 0 && (
        <ul class="warns">
          {grave.map((c, i) => (
            <li key={i} class={`warn warn-${c.level}`}>
              <Sign level={c.level} />
              <div>
                <p>
                  <b>{c.field ? W.verdict.ask : `${W.verdict[c.level]}:`} </b>
                  {c.text}
                </p>
                {use && c.field && (
                  <button type="button" class="chip" onClick={() => use(c)}>
                    {W.verdict.meant(c.means ?? "")}
                  </button>
                )}
              </div>
            </li>
          ))}
        </ul>
      )}
      {notes.length > 0 && (
        <Warn level="note">
          <div>
            <b>{W.verdict.notes(notes.length)}</b>
            <ul>
              {notes.map((c, i) => (
                <li key={i}>{c.text}</li>
              ))}
            </ul>
          </div>
        </Warn>
      )}
    </>
  );
}

/** A notice, set apart from the rest by its sign. */
export function Warn({
  level,
  text,
  children,
}: {
  level: Level;
  text?: string;
  children?: ComponentChildren;
}) {
  return (
    <div class={`warn warn-${level}`}>
      <Sign level={level} />
      {text && <p>{text}</p>}
      {children}
    </div>
  );
}

/** A link: its name, a description of where it leads, and a state. */
export function LinkCard({
  href,
  name,
  lines = [],
  foot,
  state,
}: {
  href: string;
  name: ComponentChildren;
  lines?: ComponentChildren[];
  foot?: ComponentChildren;
  state?: string;
}) {
  return (
    <a class={state === undefined ? "link-card" : `link-card state-${state}`} href={href}>
      <b>{name}</b>
      {lines.map((line) => line !== undefined && line !== false && <span>{line}</span>)}
      {foot !== undefined && foot !== false && <em>{foot}</em>}
    </a>
  );
}

/** A list of links. */
export function LinkList({ line, children }: { line?: string; children: ComponentChildren }) {
  return (
    <ul class="link-list">
      {toChildArray(children).map((one) => (
        <li key={(one as { key?: string }).key} class={line}>
          {one}
        </li>
      ))}
    </ul>
  );
}

interface Few {
  name: string;
  legend: string;
  options: Option[];
  help?: string;
  fault?: string | undefined;
}

/** One of a few, as large buttons side by side. */
export function Segments({ value, ...p }: Few & { value: string; pick: (key: string) => void }) {
  return <FewKeys {...p} chosen={[value]} />;
}

/** Any of a few. */
export function Toggles({
  value,
  pick,
  ...p
}: Few & { value: readonly string[]; pick: (keys: string[]) => void }) {
  const turn = (key: string) =>
    pick(p.options.map((o) => o.key).filter((k) => (k === key) !== value.includes(k)));
  return <FewKeys {...p} many chosen={value} pick={turn} />;
}

function FewKeys({
  many,
  chosen,
  pick,
  ...p
}: Few & { many?: boolean; chosen: readonly string[]; pick: (key: string) => void }) {
  return (
    <fieldset class="segments" aria-describedby={p.help ? `${p.name}-help` : undefined}>
      <legend>{p.legend}</legend>
      <div class="segment-row">
        {p.options.map((o) => (
          <label key={o.key} class={many ? "segment many" : "segment"}>
            <input
              {...(many ? { type: "checkbox" as const } : { type: "radio" as const, value: o.key })}
              name={p.name}
              checked={chosen.includes(o.key)}
              onChange={() => pick(o.key)}
            />
            <span>{o.label}</span>
          </label>
        ))}
      </div>
      {p.help && (
        <p class="help" id={`${p.name}-help`}>
          {p.help}
        </p>
      )}
      <FaultLine id={`${p.name}-fault`} text={p.fault} />
    </fieldset>
  );
}

export function FaultLine({ id, text }: { id: string; text?: string | undefined }) {
  return text ? (
    <p class="fault" id={id}>
      <Sign level="refuse" size={22} /> <span>{text}</span>
    </p>
  ) : null;
}

export function Fold({
  title,
  open,
  onToggle,
  children,
}: {
  title: string;
  open?: boolean;
  onToggle?: (open: boolean) => void;
  children: ComponentChildren;
}) {
  return (
    <details class="fold" open={open} onToggle={(e) => onToggle?.(e.currentTarget.open)}>
      <summary>
        <svg class="fold-mark" viewBox="0 0 16 16" width="16" height="16" aria-hidden="true">
          <path d="M4 2L12 8L4 14" />
        </svg>
        <h2>{title}</h2>
      </summary>
      <div class="fold-body">{children}</div>
    </details>
  );
}

/** A page that is empty, still loading, or broken: said in words, with a link on. */
export function Blank({
  kind,
  title,
  help,
  children,
}: {
  kind: "empty" | "loading" | "broken";
  title: string;
  help?: string;
  children?: ComponentChildren;
}) {
  return (
    <div class={`blank ${kind}`} role={kind === "broken" ? "alert" : "status"}>
      {kind === "broken" && <Sign level="refuse" size={36} />}
      {kind === "loading" && (
        <svg class="rule" viewBox="0 0 120 16" width="120" height="16" aria-hidden="true">
          <path d="M1 15V2M16 15V9M31 15V6M46 15V9M61 15V2M76 15V9M91 15V6M106 15V9M119 15V2" />
        </svg>
      )}
      <p class="blank-title">{title}</p>
      {help && <p class="quiet">{help}</p>}
      {children}
    </div>
  );
}

/** A number with its unit set smaller, and the other unit under it. */
export function Figure({
  text,
  also,
  big = false,
}: {
  text: string;
  also?: string | undefined;
  big?: boolean;
}) {
  const cut = /^([-+±]?[\d.,/ -]*\d)\s*([^\d].*)?$/.exec(text);
  return (
    <span class={big ? "figure big" : "figure"}>
      <span class="figure-main">
        {cut ? (
          <>
            <span class="num">{cut[1]}</span>
            {cut[2] ? <span class="figure-unit"> {cut[2]}</span> : null}
          </>
        ) : (
          <span class="num">{text}</span>
        )}
      </span>
      {also && <span class="figure-also num">{also}</span>}
    </span>
  );
}

/** A table that may be wider than the screen: it moves in its own frame. */
export function WideTable(p: {
  name: string;
  caption?: string;
  heads: ComponentChildren;
  children: ComponentChildren;
}) {
  return (
    <div class="table-wrap" tabIndex={0} role="group" aria-label={p.name}>
      <table>
        {p.caption && <caption>{p.caption}</caption>}
        <thead>
          <tr>{p.heads}</tr>
        </thead>
        <tbody>{p.children}</tbody>
      </table>
    </div>
  );
}
