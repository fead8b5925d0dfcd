/** Which beat a count-in has come to: a number to be read from afar, as it would be called out. */
import type { CountIn } from "../../schemas/soundWire.ts";
import { UNITS_PER_QUARTER } from "../../schemas/units.ts";
import { SAMPLE_RATE } from "../../schemas/sound.ts";
import { beatUnits } from "../parts/music.ts";
import { tempoAt } from "../rehearse/drills.ts";
import type { Opened } from "../state/opened.ts";

export interface Counted {
  /** From 1: of the bar's beats, or of all where beats or groups are counted. */
  readonly beat: number;
  /** Which of how many bars, where more than one is counted. */
  readonly bar: { readonly now: number; readonly of: number } | null;
}

/**
 * @param place where the music begins: index of the section, and units from its start
 * @param speed of the written tempo, 1 as it is written
 * @param frames since the count began
 */
export function countedAt(
  opened: Opened,
  place: { readonly section: number; readonly at: number },
  { count, by }: CountIn,
  speed: number,
  frames: number,
): Counted | null {
  const section = opened.routine.sections[place.section];
  const performance = opened.performance.sections[place.section]?.performance;
  if (section === undefined || performance === undefined || count === 0) return null;
  const ofHand = by === "record" ? "recordGroups" : by === "fader" ? "faderGroups" : null;
  const placed = performance.placed.find(({ pattern, end }) => pattern !== null && end > place.at);
  const [first, second] = ofHand === null ? [] : (placed?.[ofHand] ?? []);
  const group = first === undefined || second === undefined ? null : second - first;
  const quarters = (group ?? beatUnits(section.meter)) / UNITS_PER_QUARTER;
  const each =
    (quarters * 60 * SAMPLE_RATE) / (tempoAt(opened, { section: section.id, at: place.at }) * speed);
  const upper = Number(section.meter.split("/")[0]);
  const all = by === "bar" ? count * upper : count;
  const done = Math.min(all - 1, Math.max(0, Math.floor(frames / each)));
  if (by !== "bar") return { beat: done + 1, bar: null };
  const bar = count > 1 ? { now: Math.floor(done / upper) + 1, of: count } : null;
  return { beat: (done % upper) + 1, bar };
}
