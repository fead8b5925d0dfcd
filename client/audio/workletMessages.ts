/** What goes between the page and its audio thread. */
import type { Block } from "./blocks.ts";
import type { FaderBy } from "./handGate.ts";

/** 0 to 1, of each group of channels. */
export interface Levels {
  readonly hands: number;
  readonly others: number;
  readonly beat: number;
  readonly clicks: number;
}

export type ToWorklet =
  /** A second way in, for what comes from another thread than the page's; reports go out by it too. */
  | { readonly type: "feed"; readonly port: MessagePort }
  /** `after`: frames of silence before it begins; none where it is left out. */
  | { readonly type: "play"; readonly play: number; readonly after?: number }
  /** This play, and any before, is over, also where the word that it begins comes later. */
  | { readonly type: "stop"; readonly play: number }
  | { readonly type: "levels"; readonly levels: Levels }
  /** Who moves the fader, and whether the program's openings tick. */
  | { readonly type: "fader"; readonly by: FaderBy; readonly ticks: boolean }
  /** The user opened or shut the fader. Answered by `mine`. */
  | { readonly type: "mine"; readonly open: boolean }
  | { readonly type: "block"; readonly play: number; readonly block: Block };

export interface FromWorklet {
  /** `at` comes by itself; `mine` when the user's fader was moved, with where that is heard from. */
  readonly type: "at" | "mine";
  readonly play: number;
  /** The next frame of the play, which leaves the context at its own `contextFrame`, the limiter's delay included. */
  readonly frame: number;
  readonly contextFrame: number;
  /** The take that is heard from its frame `since` of the play on. */
  readonly take: number;
  readonly since: number;
  readonly underruns: number;
  /** Frames in hand. */
  readonly ahead: number;
  readonly over: boolean;
}
