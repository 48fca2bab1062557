import { goOver, goUp } from "./here";

/**
 * A key that leads to another view of a page, and from it back to the page. The way back leads past
 * the views to where the page was opened from.
 */
export function Door(p: {
  label: string;
  /** This view's address, and the page's own. */
  to: string;
  page: string;
  /** What is shown: this view, or any view. */
  here: boolean;
  within: boolean;
  off?: boolean;
}) {
  return (
    <a
      href={p.off ? undefined : p.here ? p.page : p.to}
      aria-disabled={p.off ? "true" : undefined}
      aria-current={p.here ? "page" : undefined}
      onClick={(e) => {
        if (p.off || !p.within) return;
        e.preventDefault();
        if (p.here) goUp(p.page);
        else goOver(p.to);
      }}
    >
      {p.label}
    </a>
  );
}
