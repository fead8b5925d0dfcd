/**
 * Combinations the slow, obvious way: as patterns, played by the hands three rounds long, of which the middle one knows
 * its neighbours on both sides.
 */
import type { SoundEvent } from "../../schemas/performance.ts";
import type { FaderState, Move, Pattern } from "../../schemas/routine.ts";
import { degrees, UNITS_PER_WHOLE, units } from "../../schemas/units.ts";
import { compilePlacement, NOTHING_BEFORE } from "../../server/hands/placement.ts";
import { combinedUnits } from "../../server/routine/layout.ts";

export const SIXTEENTH = UNITS_PER_WHOLE / 16;

export const patternOf = (record: readonly Move[], fader: readonly FaderState[], step = "1/16"): Pattern => ({
  id: "combination",
  record: { step, strokes: record.map((move) => ({ move })) },
  fader: { step, cells: fader.map((state) => ({ fader: state })) },
});

/** The sounds of one combined length in the middle of the endlessly repeating phrase, from its start. */
export function middleRound(pattern: Pattern): { sounds: SoundEvent[]; length: number } {
  const length = Number(combinedUnits(pattern));
  const { sounds } = compilePlacement({
    pattern,
    recordFrom: 0,
    faderFrom: 0,
    duration: units(3 * length),
    position: degrees(0),
    before: NOTHING_BEFORE,
    placement: 0,
    offset: 0,
    turned: () => 0,
  });
  const middle = sounds
    .filter(({ start }) => start >= length && start < 2 * length)
    .map((sound) => ({ ...sound, start: units(sound.start - length), end: units(sound.end - length) }));
  return { sounds: middle, length };
}

/** Whether some shift by whole sixteenths, all of them tried, gives the same starts and ends with directions exchanged. */
export function mirroredByTrying({
  sounds,
  length,
}: {
  sounds: readonly SoundEvent[];
  length: number;
}): boolean {
  const text = (shift: number, exchanged: boolean): string =>
    sounds
      .map(({ start, end, direction }) => {
        const way = exchanged === (direction === "forward") ? "back" : "forward";
        return `${(start + shift) % length}+${end - start}:${way}`;
      })
      .sort()
      .join(" ");
  const mirror = text(0, true);
  for (let shift = 0; shift < length; shift += SIXTEENTH)
    if (sounds.length > 0 && text(shift, false) === mirror) return true;
  return false;
}

/** The two cycles joined over their combined length, in whichever shift comes first in the dictionary. */
export function canonical(record: readonly string[], fader: readonly string[]): string {
  let length = record.length;
  while (length % fader.length !== 0) length += record.length;
  const steps = Array.from(
    { length },
    (_, at) => `${record[at % record.length]}-${fader[at % fader.length]}`,
  );
  return steps
    .map((_, shift) => [...steps.slice(shift), ...steps.slice(0, shift)].join(" "))
    .sort()[0] as string;
}

/** Every word of a length over some kinds that is no shorter word repeated. */
export function shortestForms<Kind>(kinds: readonly Kind[], length: number): Kind[][] {
  let words: Kind[][] = [[]];
  for (let at = 0; at < length; at++) words = words.flatMap((word) => kinds.map((kind) => [...word, kind]));
  return words.filter((word) => {
    for (let period = 1; period < length; period++)
      if (length % period === 0 && word.every((kind, at) => kind === word[at % period])) return false;
    return true;
  });
}
