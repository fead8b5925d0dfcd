/** Shapes of what the server answers over HTTP, where a page reads them; requests are parsed by their routes. */

/** The folder that is kept fresh with a routine's clips. */
export interface FolderState {
  /** Counts up with each change, so that a page can wait for the next. */
  readonly number: number;
  /** null: no folder is kept. */
  readonly path: string | null;
  readonly state: "off" | "writing" | "fresh" | "waiting" | "trouble";
  /** Milliseconds since 1970 of the last time it was fresh; null: not yet. */
  readonly at: number | null;
  /** Clips in the folder. */
  readonly files: number;
  /** Written and removed at the last refresh. */
  readonly written: number;
  readonly removed: number;
  /** Names of files that are the user's and were left. */
  readonly left: readonly string[];
  /** What is wrong, and what to do; with `waiting` and `trouble`. */
  readonly why: string | null;
}

/** Ticks from the clip's start; channels from 1. */
export interface Listed {
  readonly tick: number;
  readonly channel?: number;
  readonly kind: "note" | "controller" | "bend" | "tempo" | "metre" | "marker" | "name";
  /** Key or controller. */
  readonly number?: number;
  /** Velocity, value, bend (-8192 to 8191), or quarters a minute. */
  readonly value?: number;
  /** Ticks of a note. */
  readonly length?: number;
  readonly text?: string;
}

/** What stands in a clip. */
export interface ClipAccount {
  readonly ppq: number;
  /** The first so many, track after track. */
  readonly events: readonly Listed[];
  /** Of all events. */
  readonly count: number;
}
