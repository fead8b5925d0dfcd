/**
 * Compares a recording off the main thread: seconds of work must not hold up sound or edits. Started from built
 * output with a CompareJob as its data; sends how far it is, then a CompareAnswer, and ends.
 */
import { wavBytes } from "../../schemas/wavBytes.ts";
import { parentPort, workerData } from "node:worker_threads";
import { giveWay } from "../jobs/giveWayWorkers.ts";
import type { Performance } from "../../schemas/performance.ts";
import type { HandsHeard, RecordingResult } from "../../schemas/recording.ts";
import type { Routine } from "../../schemas/routine.ts";
import type { Place } from "../../schemas/soundWire.ts";
import { createClicks } from "../sound/clicks.ts";
import { createKit } from "../sound/kit.ts";
import { RATE } from "../sound/rate.ts";
import type { Tables } from "../sound/tables.ts";
import { readWav } from "../sound/wavread.ts";
import { timelineOf } from "../time/timeline.ts";
import { compareRecording, type RecordingCompared } from "./compareRecording.ts";
import { compareTimesPlayed } from "./compareTimesPlayed.ts";
import { expectedOf, meantIn, type Stretch } from "./expected.ts";
import { atRate, mono } from "./pcm.ts";
import { shareOf } from "./progress.ts";
import { ofHands, resultOf } from "./result.ts";

giveWay();

export interface CompareJob {
  readonly routine: Routine;
  readonly performance: Performance;
  /** By id, as in `Sounds`; their memory is shared, not copied. */
  readonly samples: ReadonlyMap<string, Tables>;
  readonly beats: ReadonlyMap<string, Tables>;
  readonly stretch: Stretch;
  readonly hands: HandsHeard;
  /** Seconds that were allowed for latency before: the recording is taken as so much earlier. */
  readonly allowed: number;
  /** A WAV file, or seconds at which keys were pressed; `null`: only the program's own sound is wanted. */
  readonly played: { readonly wav: Uint8Array } | { readonly times: readonly number[] } | null;
}

export type CompareAnswer =
  /** `upTo`: the place at which the recording ends, where that is before the last of what is meant. */
  | { readonly result: RecordingResult; readonly upTo: Place | null }
  /** The program's own sound as a WAV file. */
  | { readonly wav: Uint8Array<ArrayBuffer> }
  | { readonly problem: string };

export type CompareMessage = CompareAnswer | { readonly progress: number };

const job = workerData as CompareJob;

/** The part of the time that it takes to render what is meant. */
const RENDERED = 0.15;
/** Milliseconds from one telling to the next at least. */
const TELL_EVERY = 100;
let told = Number.NEGATIVE_INFINITY;
function tell(done: number): void {
  const now = performance.now();
  if (now - told < TELL_EVERY) return;
  told = now;
  parentPort?.postMessage({ progress: done } satisfies CompareMessage);
}

function answer(): CompareAnswer {
  const { routine, performance, samples, beats, stretch, played } = job;
  const timeline = timelineOf(routine.sections, performance.sections);
  const render = () =>
    expectedOf(
      routine,
      performance,
      timeline,
      { samples, beats, kit: createKit(), clicks: createClicks([]) },
      stretch,
    );
  if (played === null) {
    const { hands, beside } = render();
    return {
      wav: wavBytes([hands.map((value, at) => value + (beside[at] as number))], RATE, 16),
    };
  }
  const result = (compared: RecordingCompared): CompareAnswer =>
    resultOf(routine, performance, timeline, stretch, compared);
  if ("times" in played) {
    const meant = meantIn(performance, timeline, stretch).filter(ofHands(job.hands));
    return result(
      compareTimesPlayed(
        meant,
        played.times.map((time) => time - job.allowed),
      ),
    );
  }
  const read = readWav(played.wav);
  if ("problem" in read) return { problem: read.problem };
  const expected = render();
  const sound = atRate(mono(read.wav.channels), read.wav.rate);
  const progress = shareOf(tell, RENDERED, 1);
  progress(0);
  return result(compareRecording(expected, earlier(sound, job.allowed), { progress }));
}

/** The recording so many seconds earlier. */
function earlier(samples: Float32Array, by: number): Float32Array {
  const count = Math.round(by * RATE);
  if (count >= 0) return samples.subarray(count);
  const later = new Float32Array(samples.length - count);
  later.set(samples, -count);
  return later;
}

parentPort?.postMessage(answer());
