/** What goes between the page and the thread that holds its sound socket. */
import type { BlockHead } from "../../schemas/soundBlock.ts";

export type ToFeed =
  /** The way to the audio thread. */
  | { readonly type: "audio"; readonly port: MessagePort }
  /** Opens the socket; `hello` is the first thing said on it. */
  | { readonly type: "connect"; readonly url: string; readonly protocol: string; readonly hello: string }
  | { readonly type: "say"; readonly text: string }
  /** Blocks of this play are taken from now on; it begins after so many frames of silence. */
  | { readonly type: "play"; readonly play: number; readonly after: number };

export type FromFeed =
  | { readonly type: "text"; readonly text: string }
  /** Of the blocks that came of late. */
  | { readonly type: "heads"; readonly heads: readonly BlockHead[] }
  /** Enough of the play is in hand, and it sounds. */
  | { readonly type: "begun"; readonly play: number }
  | { readonly type: "closed" };
