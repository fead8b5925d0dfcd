/** The strands that are written, a player at a time, and what each is called in names of files and tracks. */
import type { Encoding } from "../../schemas/mapping.ts";
import { STRANDS, type Strand } from "./strand.ts";

export interface Voice {
  readonly strand: Strand;
  readonly player: number;
  /** "fader", or "fader-p2" where there are several players. */
  readonly word: string;
}

/** @param players in order; the beat is nobody's, and stands once */
export const voicesOf = (encoding: Encoding, players: readonly number[]): Voice[] =>
  STRANDS.filter((strand) => encoding[strand].written).flatMap((strand) =>
    (strand === "beat" ? players.slice(0, 1) : players).map((player) => ({
      strand,
      player,
      word: players.length > 1 && strand !== "beat" ? `${strand}-p${player}` : strand,
    })),
  );
