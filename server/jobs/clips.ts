/** Making clips, which takes too long for the thread of edits and sound: what is asked and what comes back. */
import type { ClipAccount } from "../../schemas/answers.ts";
import type { Clips, ClipFile } from "../clips/clipFiles.ts";
import type { Routine } from "../../schemas/routine.ts";

export interface Asked {
  /** Of the routine among those that are open: what was made of it before is made again only where it changed. */
  readonly key: number;
  /** What is heard: the routine without what errors concern. */
  readonly routine: Routine;
  /** JSON Pointers of placements that are not compiled. */
  readonly leftOut: readonly string[];
  /** Ticks a quarter; the mapping's where it is left out. */
  readonly ppq?: number | "exact";
}

export interface MadeClips extends Clips {
  /** `hash`: of the bytes, as a folder's manifest knows them. */
  readonly files: readonly (ClipFile & { readonly hash: string })[];
  /** The sections as CSV. */
  readonly table: string;
}

/** How work that takes long is followed, and ended before its time. */
export interface Follow {
  /** How much is done, 0 to 1. */
  tell(done: number): void;
  readonly signal: AbortSignal;
}

/** Every method @throws JobBroken, and those that make clips NoExactResolution */
export interface ClipWork {
  /** @throws AbortError where it was ended */
  clips(asked: Asked, follow?: Follow): Promise<MadeClips>;
  zip(asked: Asked): Promise<Uint8Array>;
  /** What stands in a clip, the first `most` events. */
  account(bytes: Uint8Array, most: number): Promise<Omit<ClipAccount, "ppq">>;
  close(): void;
}

/** Told to the thread. */
export type ToClips =
  | {
      readonly want: "clips";
      readonly asked: Asked;
      /** Shared: becomes 1 where it is not wanted any more. */
      readonly ended: Int32Array;
    }
  | { readonly want: "zip"; readonly asked: Asked }
  | { readonly want: "account"; readonly bytes: Uint8Array; readonly most: number };

/** The files' bytes lie one after the other in `bytes`, each as long as its `length`. */
export interface Packed extends Omit<MadeClips, "files"> {
  readonly files: readonly (Omit<ClipFile, "bytes"> & { readonly hash: string; readonly length: number })[];
  readonly bytes: Uint8Array;
}

export type FromClips =
  | { readonly made: unknown }
  | { readonly failed: "no-exact-resolution" | "ended" | "bug" };
