/**
 * Beats to begin with: of different feels and lengths, written for this program. Strengths and late snares are by
 * ear; keys are those of General MIDI's percussion map.
 */
import type { Beat, Hit } from "./routine.ts";

export interface BuiltInBeat {
  readonly beat: Omit<Beat, "id">;
  /** Its feel, in a few words. */
  readonly says: string;
  /** The metre that it was made for. */
  readonly meter: string;
  /** Quarter notes a minute that it was made for. */
  readonly tempo: number;
}

const LOW = 36;
const STICK = 37;
const SNARE = 38;
const CLAP = 39;
const TOM = 45;
const HAT = 42;
const OPEN_HAT = 46;
const RIDE = 51;

const hit = (key: number, velocity: number, ...at: readonly number[]): Hit => ({
  key,
  at: [...at],
  velocity,
});
/** Every `by` steps from `from`, up to the end. */
const every = (by: number, end: number, from = 0): readonly number[] =>
  Array.from({ length: Math.ceil((end - from) / by) }, (_, index) => from + index * by);

function built(
  name: string,
  says: string,
  meter: string,
  tempo: number,
  step: string,
  steps: number,
  ...hits: readonly Hit[]
): BuiltInBeat {
  return { beat: { name, step, steps, hits }, says, meter, tempo };
}

export const BUILT_IN_BEATS: readonly BuiltInBeat[] = [
  built(
    "Plain plank",
    "straight and bare, room for everything",
    "4/4",
    92,
    "1/16",
    16,
    hit(LOW, 110, 0, 8),
    hit(SNARE, 108, 4, 12),
    hit(HAT, 78, ...every(2, 16)),
  ),
  built(
    "Heavy crate",
    "slow and dragging, the snare a little late",
    "4/4",
    84,
    // Eighths of a sixteenth, so that the snare can lie an eighth of one behind.
    "1/128",
    128,
    hit(LOW, 118, 0, 56, 80),
    hit(LOW, 74, 24),
    hit(SNARE, 112, 33, 97),
    hit(HAT, 84, 0, 32, 64, 96),
    hit(HAT, 58, 17, 49, 81, 113),
  ),
  built(
    "Long corridor",
    "two bars: the second one answers",
    "4/4",
    96,
    "1/16",
    32,
    hit(LOW, 112, 0, 6, 10, 16, 22, 27),
    hit(SNARE, 108, 4, 12, 20, 28),
    hit(SNARE, 52, 15, 25, 31),
    hit(HAT, 80, ...every(4, 32)),
    hit(HAT, 60, ...every(4, 32, 2)),
    hit(OPEN_HAT, 82, 30),
  ),
  built(
    "Rolling shutter",
    "shuffled in triplets",
    "4/4",
    88,
    "1/24",
    24,
    hit(LOW, 112, 0, 9, 12, 17),
    hit(SNARE, 108, 6, 18),
    hit(RIDE, 84, 0, 3, 6, 9, 12, 15, 18, 21),
    hit(RIDE, 60, 2, 5, 8, 11, 14, 17, 20, 23),
  ),
  built(
    "Stairwell in three",
    "a waltz that leans on two",
    "3/4",
    104,
    "1/16",
    12,
    hit(LOW, 112, 0, 7),
    hit(STICK, 96, 4),
    hit(SNARE, 104, 8),
    hit(HAT, 76, ...every(2, 12)),
  ),
  built(
    "Uneven kerb",
    "seven eighths, counted two, two, three",
    "7/8",
    100,
    "1/16",
    14,
    hit(LOW, 114, 0, 5),
    hit(SNARE, 106, 4, 10),
    hit(HAT, 82, 0, 4, 8),
    hit(HAT, 58, 2, 6, 10, 12),
    hit(OPEN_HAT, 78, 13),
  ),
  built(
    "Five past",
    "five quarters, three and two",
    "5/4",
    94,
    "1/16",
    20,
    hit(LOW, 112, 0, 6, 12),
    hit(SNARE, 106, 4, 10, 16),
    hit(CLAP, 70, 16),
    hit(HAT, 74, ...every(2, 20)),
  ),
  built(
    "Freight yard",
    "quick, broken up, four bars before it is round",
    "4/4",
    128,
    "1/16",
    64,
    hit(LOW, 114, 0, 10, 16, 26, 32, 42, 50, 58),
    hit(SNARE, 110, 4, 12, 20, 28, 36, 44, 54, 62),
    hit(SNARE, 54, 7, 9, 23, 25, 39, 41, 57),
    hit(RIDE, 80, ...every(2, 64)),
    hit(TOM, 92, 60, 61),
  ),
  built(
    "Half asleep",
    "half time: one snare a bar, a lot of air",
    "4/4",
    140,
    "1/16",
    32,
    hit(LOW, 116, 0, 14, 18),
    hit(SNARE, 110, 8, 24),
    hit(HAT, 70, ...every(4, 32)),
    hit(HAT, 54, 3, 11, 19, 27, 29),
    hit(STICK, 60, 22, 30),
  ),
  built(
    "Six in the yard",
    "six eighths, swaying",
    "6/8",
    72,
    "1/16",
    12,
    hit(LOW, 112, 0, 10),
    hit(SNARE, 104, 6),
    hit(HAT, 84, 0, 6),
    hit(HAT, 58, 2, 4, 8, 10),
  ),
];
