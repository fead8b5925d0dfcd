/** What is chosen, or the spot, stays in sight when the panel about it opens over the foot of the page. */
import { useEffect } from "preact/hooks";
import { opened } from "../state/shown.ts";
import { chosenNow } from "./chosen.ts";
import { dragged } from "./gesture.ts";
import { keyOfAddress } from "./lying.ts";
import { reveal } from "./reveal.ts";
import { spot } from "./spot.ts";

/** Kept while another screen is shown: whoever comes back finds the page as it was left. */
let last: { chosen: string; spot: typeof spot.value } = { chosen: "", spot: null };

/** Stands behind the panels, so that they are drawn when it looks how much they cover. */
export function Revealed() {
  const these = chosenNow.value;
  const [one] = these.length === 1 ? these : [];
  const chosen = one === undefined ? "" : keyOfAddress(one);
  const here = spot.value;
  const held = dragged.value;
  useEffect(() => {
    // Rows stay where they are under a pointer that is down.
    if (held) return;
    const before = last;
    last = { chosen, spot: here };
    const state = opened.value;
    const index = state?.routine.sections.findIndex(({ id }) => id === one?.section) ?? -1;
    const start = state?.performance.sections[index]?.start;
    if (one !== undefined && start !== undefined && chosen !== before.chosen)
      reveal(one.section, one.from - start, one.to - start);
    // One that was there before is not gone back to when nothing is chosen any more.
    if (these.length === 0 && here !== null && here !== before.spot) reveal(here.section, here.at);
  }, [chosen, here, held]);
  return null;
}
