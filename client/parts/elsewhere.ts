/** What opens over the page is put away by a press elsewhere, or by Escape. */
import type { RefObject } from "preact";
import { useLayoutEffect } from "preact/hooks";

export function useElsewhere(ref: RefObject<HTMLElement | null>, open: boolean, shut: () => void): void {
  // With what opens, not after it: whoever sees it can put it away.
  useLayoutEffect(() => {
    if (!open) return;
    const elsewhere = (event: Event): void => {
      if (!(event.target instanceof Node) || ref.current?.contains(event.target) !== true) shut();
    };
    const letGo = (event: KeyboardEvent): void => {
      if (event.key !== "Escape") return;
      event.preventDefault();
      event.stopPropagation();
      shut();
    };
    addEventListener("pointerdown", elsewhere);
    addEventListener("keydown", letGo, true);
    return () => {
      removeEventListener("pointerdown", elsewhere);
      removeEventListener("keydown", letGo, true);
    };
  }, [open]);
}
