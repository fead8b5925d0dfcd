/**
 * A few edits for nothing. The browser makes code fast only after it has run: the first placement that is moved would
 * else be seen a tenth of a second later than the next. Nothing is sent, and nothing on the page comes out otherwise.
 */
import { whenIdle } from "../parts/idle.ts";
import { stacksNow } from "../rows/playhead.ts";
import { drawForNothing } from "../state/draft.ts";
import { opened } from "../state/shown.ts";
import { changesEdit, meetings, moved, together } from "./changes.ts";
import { gridOf } from "./gesture.ts";
import { keyOfAddress, lyingIn } from "./lying.ts";

const TIMES = 12;
/** Milliseconds after the first picture, and between one time and the next. */
const PAUSE = 120;

/** What a key does until the edit is sent: a step later, and whom that runs into. */
function moveForNothing(): void {
  const state = opened.peek();
  const [one] = state === null ? [] : lyingIn(state).values();
  const change =
    state === null || one === undefined ? null : moved(state, one, gridOf(state, one, "move", false));
  if (state === null || change === null) return;
  const { from, until } = change;
  meetings(state, [{ from, until, player: change.one.player }], new Set([keyOfAddress(change.one)]));
  together([changesEdit([change])], "");
}

/** In the browser's own list of marks, each time. */
const DRAWN_FOR_NOTHING = "drawn for nothing";

let left = TIMES;
/** A section that is drawn at the moment, where there is one, each time when the page has nothing else to do. */
function once(): void {
  performance.mark(DRAWN_FOR_NOTHING);
  const [drawn] = stacksNow();
  const back = drawn === undefined ? null : drawForNothing(drawn[0]);
  moveForNothing();
  whenIdle(() => {
    back?.();
    next();
  });
}
function next(): void {
  left -= 1;
  if (left >= 0) setTimeout(() => whenIdle(once), PAUSE);
}

/** Once a page; called again it does nothing. */
export function warmUp(): void {
  if (left === TIMES) next();
}
