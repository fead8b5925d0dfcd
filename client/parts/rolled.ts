/** A screen that is gone to begins at its top; one that is gone back to stands where it was left. */
import { useLayoutEffect } from "preact/hooks";

const rolled = new Map<string, number>();
let here = "";
if (typeof history === "object") history.scrollRestoration = "manual";

/** @param of what of the screen is shown. Ids have no space: from one phrase to the next the page stays as it is. */
export function useRolled(screen: string, of: string): void {
  const key = of.includes(" ") ? `${screen} ${of}` : screen;
  // While the one that is left still stands: to be told of scrolling may come too late.
  if (key !== here) rolled.set(here, scrollY);
  useLayoutEffect(() => {
    here = key;
    scrollTo({ top: rolled.get(key) ?? 0, behavior: "instant" });
  }, [key]);
}
