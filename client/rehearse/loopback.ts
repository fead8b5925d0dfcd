/**
 * The delay from loudspeaker to microphone: five sweeps are played at known frames of a context and recorded in the
 * same one; the middle of the five counts. Starts quiet, and each sweep fades in.
 */
import workletUrl from "../audio/capture.worklet.ts?worker&url";
import type { Captured } from "../audio/capture.worklet.ts";
import { extraLatency } from "../state/settings.ts";
import { find, sweep } from "./sweep.ts";

const RATE = 48_000;
/** Of full scale: quiet, the first ones quieter still. */
const LEVELS = [0.03, 0.05, 0.08, 0.08, 0.08];
/** Seconds between sweeps: longer than any delay that is looked for, and than a room's echo. */
const EVERY = 0.7;
const LONGEST = 0.5;
/** Correlation under which it is not the sweep that was heard. */
const HEARD = 0.25;

export interface Loopback {
  /** Out and back. */
  readonly loopMs: number;
  /** From the least to the greatest of the five. */
  readonly spanMs: number;
  /** What the browser states of the way out. */
  readonly statedMs: number;
  /** What is allowed for beyond that. */
  readonly extraMs: number;
}

/** @throws Error with a sentence */
export async function measureLoop(): Promise<Loopback> {
  let stream: MediaStream;
  try {
    stream = await navigator.mediaDevices.getUserMedia({
      // What makes speech clearer would take the sweep away.
      audio: { echoCancellation: false, noiseSuppression: false, autoGainControl: false },
    });
  } catch {
    throw new Error(
      "No microphone or line input was let in. Connect one, allow it for this page in the browser, and try again.",
    );
  }
  const context = new AudioContext({ sampleRate: RATE, latencyHint: "interactive" });
  try {
    await context.audioWorklet.addModule(workletUrl);
    await context.resume();
    return await measured(context, stream);
  } finally {
    for (const track of stream.getTracks()) track.stop();
    await context.close();
  }
}

async function measured(context: AudioContext, stream: MediaStream): Promise<Loopback> {
  const capture = new AudioWorkletNode(context, "countercut-capture", { numberOfOutputs: 0 });
  const pieces: Captured[] = [];
  capture.port.onmessage = ({ data }: MessageEvent<Captured>) => pieces.push(data);
  context.createMediaStreamSource(stream).connect(capture);
  const played = sweep();
  const buffer = new AudioBuffer({ length: played.length, sampleRate: RATE });
  buffer.copyToChannel(played as Float32Array<ArrayBuffer>, 0);
  const first = Math.ceil((context.currentTime + 0.6) * RATE);
  const starts = LEVELS.map((level, index) => {
    const frame = first + index * Math.round(EVERY * RATE);
    const source = new AudioBufferSourceNode(context, { buffer });
    source.connect(new GainNode(context, { gain: level })).connect(context.destination);
    source.start(frame / RATE);
    return frame;
  });
  const until = starts.at(-1)! + (LONGEST + 0.2) * RATE;
  await new Promise<void>((resolve) => {
    const look = setInterval(() => {
      if (context.currentTime * RATE < until) return;
      clearInterval(look);
      resolve();
    }, 50);
  });
  const found = starts.map((start) => find(played, cut(pieces, start, Math.round(LONGEST * RATE))));
  const heard = found.filter(({ strength }) => strength > HEARD).map(({ lag }) => (lag / RATE) * 1_000);
  if (heard.length < 3)
    throw new Error(
      "The sweeps were not heard. Turn the loudspeaker up a little, or bring the microphone nearer, and try again.",
    );
  heard.sort((a, b) => a - b);
  const loopMs = heard[heard.length >> 1]!;
  const statedMs = (context.outputLatency || context.baseLatency) * 1_000;
  const extraMs = loopMs - statedMs;
  extraLatency.value = Math.max(0, extraMs);
  return { loopMs, spanMs: heard.at(-1)! - heard[0]!, statedMs, extraMs };
}

/** Frames of the context from `start`, zeros where nothing was recorded. */
export function cut(pieces: readonly Captured[], start: number, frames: number): Float32Array {
  const out = new Float32Array(frames);
  for (const { frame, samples } of pieces)
    for (let index = Math.max(0, start - frame); index < samples.length; index++) {
      const at = frame + index - start;
      if (at >= frames) break;
      out[at] = samples[index]!;
    }
  return out;
}
