/**
 * Renders a WAV file off the main thread: minutes of sound must not hold up edits or playing. Started from built
 * output with a WavJob as its data; says `{ size, frames }` first, then sends a piece of the file for each message
 * that it gets, so that it is never far ahead of who takes them, and what was measured after the last.
 */
import { parentPort, workerData } from "node:worker_threads";
import { giveWay, standAside } from "../jobs/giveWayWorkers.ts";
import type { Performance } from "../../schemas/performance.ts";
import type { Routine } from "../../schemas/routine.ts";
import { timelineOf } from "../time/timeline.ts";
import { createClicks } from "./clicks.ts";
import { exportWav, type WavWish } from "./export.ts";
import { createKit } from "./kit.ts";
import { createMeter } from "./loudness.ts";
import type { Tables } from "./tables.ts";

giveWay();

export interface WavJob {
  readonly routine: Routine;
  readonly performance: Performance;
  /** By id, as in `Sounds`; their memory is shared, not copied. */
  readonly samples: ReadonlyMap<string, Tables>;
  readonly beats: ReadonlyMap<string, Tables>;
  readonly wish: WavWish;
}

export interface WavSize {
  /** Bytes of the whole file. */
  readonly size: number;
  readonly frames: number;
}

/** Of the whole file, as it was written. */
export interface WavMeasure {
  /** LKFS by ITU-R BS.1770; −Infinity for silence. */
  readonly integrated: number;
  /** dBTP. */
  readonly truePeak: number;
}

/** Bytes of a piece, about: a message costs more than the little that one block holds. */
const PIECE = 192 * 1024;

const { routine, performance, samples, beats, wish } = workerData as WavJob;
const timeline = timelineOf(routine.sections, performance.sections);
const sounds = { samples, beats, kit: createKit(), clicks: createClicks(["bar", "beat", "record", "fader"]) };
const wav = exportWav(routine, performance, timeline, sounds, wish);
const meter = createMeter();
const blocks = wav.pieces(meter);

function nextPiece(): Uint8Array<ArrayBuffer> | null {
  const parts: Uint8Array[] = [];
  let size = 0;
  while (size < PIECE) {
    standAside();
    const { value, done } = blocks.next();
    if (done === true) break;
    parts.push(value);
    size += value.length;
  }
  if (size === 0) return null;
  const piece = new Uint8Array(size);
  let at = 0;
  for (const part of parts) {
    piece.set(part, at);
    at += part.length;
  }
  return piece;
}

parentPort?.on("message", () => {
  const piece = nextPiece();
  if (piece !== null) parentPort?.postMessage(piece, [piece.buffer]);
  else
    parentPort?.postMessage({
      integrated: meter.integrated(),
      truePeak: meter.truePeak(),
    } satisfies WavMeasure);
});
const size: WavSize = { size: wav.size, frames: wav.frames };
parentPort?.postMessage(size);
