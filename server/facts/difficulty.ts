/**
 * How hard a phrase is to learn, as one figure (ours, no published source): larger is harder, 0 is silence. It is the
 * sum of four parts, each with its reason. It knows no tempo: whether hands are fast enough is for the limits to say.
 *
 * - hands: moves of the record and openings of the fader, each per sixteenth note. More to do is harder.
 * - memory: log2 of the number of runs in each cycle, a run being neighbouring strokes or cells that are alike. A cycle
 *   is remembered by where it changes; twice the changes is one more thing to know.
 * - independence: log2 of how many rounds of the longer cycle pass before the hands meet the same way again. Groups
 *   that fit each other are one movement to the body; each doubling is a phrase twice as long to feel.
 * - crossing: the part of the sounds that the fader opens while the record goes on the same way, 0 to 1. Hands that act
 *   at the same turn help each other; a fader that strikes into a stroke goes against the other hand.
 */
import type { Pattern } from "../../schemas/routine.ts";
import { UNITS_PER_WHOLE } from "../../schemas/units.ts";
import { combinedUnits } from "../routine/layout.ts";
import { isMoving, listSounds, phraseOf } from "./phrase.ts";

/** A phrase of more sounds is not gone through. */
const MOST_SOUNDS = 1 << 16;

export interface DifficultyParts {
  /** Moves and openings per sixteenth note. */
  readonly hands: number;
  /** log2 of the record's runs plus log2 of the fader's. */
  readonly memory: number;
  /** Combined length over the longer of the two cycles, from 1. */
  readonly rounds: number;
  /** Sounds that the fader opens while the record goes on the same way, and all sounds. */
  readonly crossing: number;
  readonly sounds: number;
}

/** Thousandths, so that figures that differ only by the order of summing are equal. */
export function difficulty({ hands, memory, rounds, crossing, sounds }: DifficultyParts): number {
  if (sounds === 0) return 0;
  return Math.round((hands + memory + Math.log2(rounds) + crossing / sounds) * 1000) / 1000;
}

/** The items of a cycle in its shortest form, as text that is equal where two are alike. */
function shortest<Item>(items: readonly Item[]): string[] {
  const texts = items.map((item) => JSON.stringify(Object.entries(item as object).sort()));
  for (let period = 1; period < texts.length; period++) {
    if (texts.length % period === 0 && texts.every((text, at) => text === texts[at % period]))
      return texts.slice(0, period);
  }
  return texts;
}

const runsOf = (items: readonly string[]): number =>
  Math.max(1, items.filter((item, at) => item !== items[(at || items.length) - 1]).length);

/** Of a pattern that was checked; null where it is too long to go through. */
export function difficultyOf(pattern: Pattern): number | null {
  const { record, fader } = phraseOf(pattern);
  const sounds = listSounds(pattern, MOST_SOUNDS);
  if (sounds === null) return null;
  const strokes = shortest(pattern.record.strokes);
  const cells = shortest(pattern.fader.cells);
  const recordLength = (record.length * strokes.length) / pattern.record.strokes.length;
  const faderLength = (fader.length * cells.length) / pattern.fader.cells.length;
  const sixteenth = UNITS_PER_WHOLE / 16;

  const opens = new Set(fader.openings.map(({ start }) => start as number));
  const turns = new Set<number>();
  for (const [index, move] of record.moves.entries()) {
    const before = record.moves[(index || record.moves.length) - 1];
    if (move.direction !== before?.direction) turns.add(move.start);
  }
  const crossing = sounds.filter(
    ({ start }) => opens.has(start % fader.length) && !turns.has(start % record.length),
  );
  return difficulty({
    hands:
      (record.moves.filter(isMoving).length / record.length + fader.openings.length / fader.length) *
      sixteenth,
    memory: Math.log2(runsOf(strokes)) + Math.log2(runsOf(cells)),
    rounds: shortestTogether(pattern, recordLength, faderLength) / Math.max(recordLength, faderLength),
    crossing: crossing.length,
    sounds: sounds.length,
  });
}

/** The combined length of the two cycles in their shortest forms. */
function shortestTogether(pattern: Pattern, record: number, fader: number): number {
  const whole = Number(combinedUnits(pattern));
  let together = Math.max(record, fader);
  while (together < whole && (together % record !== 0 || together % fader !== 0))
    together += Math.max(record, fader);
  return together;
}
