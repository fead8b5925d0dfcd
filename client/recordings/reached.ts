/** How far a recording reaches into what was to be played. */
import type { Recording } from "../../schemas/recording.ts";
import type { LoopRange } from "../../schemas/soundWire.ts";
import { unitsOfText } from "../parts/music.ts";
import { placeText } from "../parts/placeText.ts";
import { placeAt, secondsAt } from "../parts/seconds.ts";
import { absolute } from "../rehearse/drills.ts";
import type { Opened } from "../state/opened.ts";
import { opened } from "../state/shown.ts";

/**
 * Seconds that a play may end before the last of it is heard: it ends for the page when its sound is handed over, and
 * an output takes up to so long to bring it to the ear.
 */
const UNHEARD = 0.25;

/**
 * What is left of a range that was stopped.
 *
 * @param speed of the written tempo; @param heard seconds of it that were heard, at that speed; @param kept seconds of
 * it that are in the recording: fewer, where what is heard comes in later. @returns null where it was not stopped early
 */
export function stoppedRange(
  opened: Opened,
  { from, to }: LoopRange,
  speed: number,
  heard: number,
  kept: number,
): LoopRange | null {
  const start = secondsAt(opened, absolute(opened, from));
  const end = secondsAt(opened, absolute(opened, to));
  if (start + (heard + UNHEARD) * speed >= end) return null;
  const { section, at } = placeAt(opened, start + Math.max(0, kept) * speed);
  const id = opened.routine.sections[section]?.id;
  return id === undefined ? null : { from, to: { section: id, at: Math.round(at) } };
}

/** The place up to which a recording that was stopped early is judged, to a sixteenth; null of any other. */
export function judgedUpTo({ stopped, range: { to } }: Pick<Recording, "stopped" | "range">): string | null {
  const now = opened.value;
  if (stopped !== true || now === null) return null;
  const grid = unitsOfText("1/16");
  return placeText(now, { ...to, at: Math.floor(to.at / grid) * grid });
}
