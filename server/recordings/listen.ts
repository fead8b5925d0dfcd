/**
 * Hears in a recording what was meant: without the beat, in bands, warped onto the rendering, and each onset placed.
 * Done twice: once it is known what was left out and how much the room rings, everything fits better.
 */
import { BANDS, type Bands, bandsOf } from "./bands.ts";
import type { Expected, Meant } from "./expected.ts";
import { roughLag } from "./lag.ts";
import { leftOut } from "./leftOut.ts";
import {
  emptyModel,
  expectedModel,
  heardModel,
  inRoom,
  median,
  type Model,
  type Room,
  ROOMS,
  surroundingsOf,
} from "./model.ts";
import { place } from "./place.ts";
import { type Progress, shareOf } from "./progress.ts";
import { misfit, warp } from "./warp.ts";
import { withoutBeat } from "./withoutBeat.ts";

export interface Listened {
  /** Milliseconds in the recording, with parts, for each sound that is meant; null where it is not heard. */
  readonly located: readonly (number | null)[];
  /** Seconds that the beat is late in the recording; null where it is not heard. */
  readonly beatLag: number | null;
  /** The recording without the beat, and both in bands, as they were compared. */
  readonly samples: Float32Array;
  /** By how much the hands are louder in it than in the rendering, power. */
  readonly loudness: number;
  readonly expected: Model;
  readonly heard: Model;
  readonly course: Float64Array;
  readonly empty: Float64Array;
}

/** Milliseconds that hands may be late or early to a beat that is heard. */
const AROUND_BEAT = 300;

/** Parts of the time that the work has taken when the beat is out, and when both are in bands. */
const [BEAT_OUT, IN_BANDS] = [0.2, 0.27];
/** Of the rest: when all was heard once, and when it was laid over the recording again. */
const [ONCE, TWICE] = [0.29, 0.49];

const FLAT = { floor: new Float64Array(BANDS).fill(1e-8), gain: new Float64Array(BANDS).fill(1) };

/**
 * @param samples one channel, 48,000 a second
 * @param reach seconds that the recording may have begun too early or too late
 */
export function listen(
  { meant, hands, beside }: Expected,
  samples: Float32Array,
  reach: number,
  progress: Progress,
): Listened {
  const beatless = withoutBeat(samples, beside, reach);
  progress(BEAT_OUT);
  const bands = [bandsOf(hands), bandsOf(beatless.samples)] as const;
  const heard = hear(meant, ...bands, beatless.lag, reach, shareOf(progress, IN_BANDS, 1));
  return { ...heard, beatLag: beatless.lag, samples: beatless.samples };
}

/** The same, once the beat is out and both are in bands. */
function hear(
  meant: readonly Meant[],
  rendering: Bands,
  recording: Bands,
  beatLag: number | null,
  reach: number,
  progress: Progress,
): Omit<Listened, "beatLag" | "samples"> {
  const lag = roughLag(
    expectedModel(rendering, FLAT),
    heardModel(recording, FLAT),
    1000 * (beatLag ?? 0),
    beatLag === null ? 1000 * reach : AROUND_BEAT,
  );
  const surroundings = surroundingsOf(recording, rendering, lag);
  const heard = heardModel(recording, surroundings);
  const empty = emptyModel(surroundings);

  const model = (bands: Bands, room: Room): Model => expectedModel(inRoom(bands, room), surroundings);
  const [noRoom] = ROOMS as readonly [Room];
  const first = model(rendering, noRoom);
  const course = warp(first, heard, lag);
  const left = leftOut(meant, first, heard, course, empty);
  progress(ONCE);
  const played = withoutThose(rendering, meant, left);
  const room = bestRoom((one) => model(played, one), heard, course);
  const ringing = inRoom(played, room);
  const expected = expectedModel(ringing, surroundings);
  const again = warp(expected, heard, lag);
  progress(TWICE);
  const there = meant.flatMap(({ time }, index) => (left[index] === true ? [] : [1000 * time]));
  const roughly = (exact: number): number => again[Math.min(Math.round(exact), again.length - 1)] as number;
  const placed = place(
    there.map((exact) => ({ meant: exact, heard: roughly(exact) })),
    { rendering: ringing, surroundings, heard },
    shareOf(progress, TWICE, 1),
  );
  let next = 0;
  return {
    located: left.map((out) => (out ? null : (placed[next++] as number))),
    loudness: median([...surroundings.gain]) ?? 1,
    expected,
    heard,
    course: again,
    empty,
  };
}

function withoutThose({ frames, power }: Bands, meant: readonly Meant[], left: readonly boolean[]): Bands {
  const rest = power.slice();
  for (const [index, { time, lasts }] of meant.entries()) {
    if (left[index] !== true) continue;
    const from = Math.max(0, Math.round(time * 1000) - 2);
    rest.fill(0, BANDS * from, BANDS * Math.min(frames, Math.round((time + lasts) * 1000) + 3));
  }
  return { frames, power: rest };
}

/** The room in which the rendering looks most like the recording along a course that is roughly right. */
function bestRoom(model: (room: Room) => Model, heard: Model, course: Float64Array): Room {
  let best = ROOMS[0] as Room;
  let least = Number.POSITIVE_INFINITY;
  for (const room of ROOMS) {
    const expected = model(room);
    let sum = 0;
    for (let frame = 0; frame < expected.frames; frame += 2)
      sum += misfit(expected, frame, heard, Math.round(course[frame] as number));
    if (sum < least) {
      least = sum;
      best = room;
    }
  }
  return best;
}
