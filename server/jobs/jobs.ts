/** Long work that must not hold up edits and sound: what there is of it, and what goes to and fro. */

import type { FillAnswer } from "../../schemas/find.ts";
import type { Neighbours } from "../../schemas/neighbours.ts";
import type { Pattern, Routine, Section } from "../../schemas/routine.ts";
import type { PageMessage } from "../../schemas/wire.ts";
import type { MidiContent } from "../clips/read/file.ts";
import type { Mends } from "../facts/mends.ts";
import type { FoundTempo } from "../recordings/tempo.ts";

export type Problem = { readonly problem: string };

/** What a WAV file holds. */
export interface WavFacts {
  /** Samples a second. */
  readonly rate: number;
  readonly channels: number;
  readonly frames: number;
  /** The largest sample, 0 to 1 or beyond; and how many stand at the end of the scale. */
  readonly peak: number;
  readonly clipped: number;
}

type Wish = Pick<PageMessage<"fill">, "steps" | "step" | "groups" | "pins" | "top">;
type Place = { readonly section: string; readonly placement: number };

/** Every method @throws JobBroken */
export interface Jobs {
  readMidi(bytes: Uint8Array, signal?: AbortSignal): Promise<MidiContent | Problem>;
  /** Of the WAV file at a path. */
  wavFacts(path: string, signal?: AbortSignal): Promise<WavFacts | Problem>;
  /** Tempo and first beat of the WAV file at a path. */
  wavTempo(path: string, signal?: AbortSignal): Promise<FoundTempo | Problem>;
  /** Sequences that fill a gap, of lengths and of patterns of a routine. */
  fill(
    patterns: readonly Pattern[],
    wish: Wish,
    signal?: AbortSignal,
  ): Promise<{ readonly answer: FillAnswer } | Problem>;
  /** Of a routine without errors. */
  mends(routine: Routine, place: Place, signal?: AbortSignal): Promise<Mends>;
  neighbours(
    pattern: Pattern,
    meter: Section["meter"],
    signal?: AbortSignal,
  ): Promise<{ readonly answer: Neighbours } | Problem>;
}

/** The thread broke, took too long, or was told to stop; a sentence. */
export class JobBroken extends Error {}

/** Told to a thread at its start. */
export type Start =
  | { readonly kind: "midi"; readonly bytes: Uint8Array }
  | { readonly kind: "wav-facts"; readonly path: string }
  | { readonly kind: "wav-tempo"; readonly path: string }
  | { readonly kind: "fill"; readonly patterns: readonly Pattern[]; readonly wish: Wish }
  | { readonly kind: "mends"; readonly routine: Routine; readonly place: Place }
  | { readonly kind: "neighbours"; readonly pattern: Pattern; readonly meter: Section["meter"] };

/** What a thread is told of one kind. */
export type StartOf<Kind extends Start["kind"]> = Extract<Start, { readonly kind: Kind }>;
