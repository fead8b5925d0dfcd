/** Sections that follow the first ones of a long routine. */
import type { ServerMessage } from "../../schemas/wire.ts";
import { draftAnew } from "./draft.ts";
import { withMore } from "./opened.ts";
import { opened } from "./shown.ts";

let followed: ServerMessage<"sections">[] = [];
let followTimer: ReturnType<typeof setTimeout> | undefined;
/** Milliseconds in which what follows is gathered, so that the page is drawn a few times and not sixty. */
const GATHER = 200;

export function follow(message: ServerMessage<"sections">): void {
  followed.push(message);
  followTimer ??= setTimeout(takeFollowed, GATHER);
}

/** What was gathered is shown now. */
export function takeFollowed(): void {
  clearTimeout(followTimer);
  followTimer = undefined;
  const now = opened.value;
  if (now === null || followed.length === 0) return;
  opened.value = withMore(now, followed);
  followed = [];
  draftAnew();
}
