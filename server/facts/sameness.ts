/**
 * When two patterns are the same phrase: shifting one in time gives the other, both hands together. How the cells
 * are written does not count, only when the fader is open; nor how often a cycle repeats itself within the pattern.
 */
import type { Pattern } from "../../schemas/routine.ts";
import { gcdOf } from "../time/fraction.ts";
import { phraseOf, type RepeatingFader } from "./phrase.ts";
import { canonical, type Ring, ringOf } from "./ring.ts";
import { Memory } from "../../schemas/memory.ts";

/** The direction of each in a mirror. */
export const OPPOSITE = { forward: "back", back: "forward", hold: "hold" } as const;

/** The course of the record: every move is a change of its own, holds in succession are one. */
export function recordRing(pattern: Pattern, mirrored = false): Ring {
  const { record } = phraseOf(pattern);
  const changes = record.moves.map(({ start, direction, travel, shape }) => ({
    at: start as number,
    is:
      direction === "hold"
        ? "hold"
        : `${mirrored ? OPPOSITE[direction] : direction} ${Math.abs(travel)} ${shape}`,
  }));
  return ringOf(record.length, changes, (is) => is === "hold");
}

function faderRing({ length, openings, alwaysOpen }: RepeatingFader): Ring {
  if (openings.length === 0) return { length, changes: [], always: alwaysOpen ? "open" : "closed" };
  const changes = openings.flatMap(({ start, end }) => [
    { at: start as number, is: "open" },
    { at: end % length, is: "closed" },
  ]);
  return { length, changes: changes.sort((a, b) => a.at - b.at), always: "" };
}

export interface Keys {
  /** Equal for two patterns exactly if they are the same phrase. */
  readonly same: string;
  /** The key that its mirror (forward and back exchanged) has. */
  readonly mirror: string;
  /** Likewise, equal also where all times stand in one proportion. */
  readonly anyStep: string;
  readonly mirrorAnyStep: string;
}

const known = new Memory<Pattern, Keys>();

/** Remembered by the pattern's identity. */
export function keysOf(pattern: Pattern): Keys {
  let keys = known.get(pattern);
  if (keys === undefined) {
    const [same, anyStep] = keyPair(pattern, false);
    const [mirror, mirrorAnyStep] = keyPair(pattern, true);
    keys = { same, mirror, anyStep, mirrorAnyStep };
    known.set(pattern, keys);
  }
  return keys;
}

/** The key, and the key without the absolute length of anything. */
function keyPair(pattern: Pattern, mirrored: boolean): [string, string] {
  const record = canonical(recordRing(pattern, mirrored));
  const fader = canonical(faderRing(phraseOf(pattern).fader));
  // Where one hand's round begins against the other's, as far as their repeating leaves it settled.
  const common = gcdOf(record.period, fader.period);
  const offset = (((fader.at - record.at) % common) + common) % common;
  const tokens = [...record.tokens, "|", ...fader.tokens];
  const unit = [...tokens.map(gap), offset].reduce(gcdOf, 0) || 1;
  return [
    [...tokens, offset].join(" "),
    [...tokens.map((token) => scaled(token, unit)), offset / unit].join(" "),
  ];
}

/** Units of a token "what>units"; 0 where there are none. */
const gap = (token: string): number => Number(token.split(">")[1] ?? 0);
const scaled = (token: string, unit: number): string => {
  const [is, length] = token.split(">");
  return length === undefined ? token : `${is}>${Number(length) / unit}`;
};
