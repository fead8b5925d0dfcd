/** Which clicks are heard: each choice is rendered once. */
import { type Clicks, createClicks } from "./clicks.ts";

/** None at all. */
export const SILENT: Clicks = { bar: null, beat: null, record: null, fader: null };

const made = new Map<string, Clicks>();

/** Clicks of the metronome and of the hands' groups. */
export function clicksFor({
  beat,
  record,
  fader,
}: {
  beat: boolean;
  record: boolean;
  fader: boolean;
}): Clicks {
  const key = `${beat} ${record} ${fader}`;
  let clicks = made.get(key);
  if (clicks === undefined) {
    clicks = createClicks([
      ...(beat ? (["bar", "beat"] as const) : []),
      ...(record ? (["record"] as const) : []),
      ...(fader ? (["fader"] as const) : []),
    ]);
    made.set(key, clicks);
  }
  return clicks;
}
