import { useEffect } from "preact/hooks";

/**
 * A gauge that types like a keyboard: digits and then Enter. Wherever the page has a field for
 * readings, what it types goes there, also while nothing has the focus.
 */
export function useWedge(field: { current: HTMLInputElement | null }): void {
  useEffect(() => {
    const key = (e: KeyboardEvent) => {
      const el = field.current;
      const on = document.activeElement;
      if (!el || e.ctrlKey || e.metaKey || e.altKey || on === el) return;
      if (
        on instanceof HTMLInputElement ||
        on instanceof HTMLTextAreaElement ||
        on instanceof HTMLSelectElement
      )
        return;
      if (!/^[-+.\d]$/.test(e.key)) return;
      e.preventDefault();
      el.focus();
      el.value += e.key;
      el.setSelectionRange(el.value.length, el.value.length);
      el.dispatchEvent(new Event("input", { bubbles: true }));
    };
    document.addEventListener("keydown", key);
    return () => document.removeEventListener("keydown", key);
  }, [field]);
}
