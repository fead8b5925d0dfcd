/** Long work that must not hold up edits and sound: what there is of it, and what goes to and fro. */
import type { MidiContent } from "../clips/read/file.ts";
import type { FoundTempo } from "../recordings/tempo.ts";

export type Problem = { readonly problem: string };

/** What a WAV file holds. */
export interface WavFacts {
  /** Samples a second. */
  readonly rate: number;
  readonly channels: number;
  readonly frames: number;
}

/** Every method @throws JobBroken */
export interface Jobs {
  readMidi(bytes: Uint8Array, signal?: AbortSignal): Promise<MidiContent | Problem>;
  /** Of the WAV file at a path. */
  wavFacts(path: string, signal?: AbortSignal): Promise<WavFacts | Problem>;
  /** Tempo and first beat of the WAV file at a path. */
  wavTempo(path: string, signal?: AbortSignal): Promise<FoundTempo | Problem>;
}

/** The thread broke, took too long, or was told to stop; a sentence. */
export class JobBroken extends Error {}

/** Told to a thread at its start. */
export type Start =
  | { readonly kind: "midi"; readonly bytes: Uint8Array }
  | { readonly kind: "wav-facts"; readonly path: string }
  | { readonly kind: "wav-tempo"; readonly path: string };
