/** What a combination must be, decided on its facts: the cheap conditions first. */
import type { Filter, OnsetMix } from "../../schemas/find.ts";
import { DEFAULT_TRAVEL, type Limits } from "../../schemas/routine.ts";
import { UNITS_PER_QUARTER } from "../../schemas/units.ts";
import { gcdOf } from "../time/fraction.ts";
import { type Grid, isClosable } from "./findAnswer.ts";
import { BABY, type Meeting, TEAR } from "./findMeeting.ts";
import { isWithin } from "./findSpace.ts";
import { atMost } from "./tolerance.ts";

/** What hands can do, and how fast the platter turns (degrees a second). */
export interface Hands {
  readonly limits: Limits;
  readonly platter: number;
}

type Condition = (meeting: Meeting) => boolean;

const BITS = { baby: BABY, tear: TEAR } as const;
const bitsOf = (names: readonly (keyof typeof BITS)[]): number =>
  names.reduce((bits, name) => bits | BITS[name], 0);

function mixed(mix: OnsetMix): Condition {
  return (meeting) => {
    if (meeting.sounds === 0) return false;
    const counts = {
      cut: meeting.cut,
      turn: meeting.turn,
      restart: meeting.restart,
      "from-rest": meeting.fromRest,
    };
    return (Object.keys(counts) as (keyof typeof counts)[]).every((onset) => {
      const part = counts[onset] / meeting.sounds;
      const { from = 0, to = 1 } = mix[onset] ?? {};
      return part >= from && part <= to;
    });
  };
}

/**
 * Whether hands keep within their limits at a tempo (quarters a minute), as playability.ts judges the repeating phrase:
 * one-step strokes of 45 degrees, eased, at their fastest π/2 times their mean.
 */
function playable(tempo: number, { limits, platter }: Hands, step: number): Condition {
  const seconds = ((60 / tempo) * step) / UNITS_PER_QUARTER;
  const strokes =
    atMost(1 / seconds, limits.strokes) &&
    atMost((Math.PI / 2) * (DEFAULT_TRAVEL / seconds / platter), limits.speed);
  return ({ record, fader }) =>
    (strokes || record.forwards + record.backs === 0) &&
    atMost(1 / (fader.closest * seconds), limits.clicks) &&
    atMost(limits.openMs, 1000 * fader.shortestOpen * seconds) &&
    atMost(limits.closedMs, 1000 * fader.shortestShut * seconds);
}

/** Null where everything passes. */
export function conditionOf(filter: Filter, grid: Grid, hands: Hands): Condition | null {
  const { combinedSteps, mirrored, drift, withinBars, playableAt, sounds, contains, avoids, onsets } = filter;
  const conditions: Condition[] = [];
  if (combinedSteps !== undefined) conditions.push(({ combined }) => isWithin(combined, combinedSteps));
  if (withinBars !== undefined)
    conditions.push(({ combined }) => {
      const length = combined * grid.step;
      return length / gcdOf(length, grid.bar) <= withinBars;
    });
  if (sounds !== undefined) conditions.push((meeting) => isWithin(meeting.sounds, sounds));
  if (drift === "zero") conditions.push((meeting) => meeting.drift === 0);
  if (drift === "closable") conditions.push(isClosable);
  if (mirrored !== undefined) conditions.push((meeting) => meeting.mirrored === mirrored);
  if (playableAt !== undefined) conditions.push(playable(playableAt, hands, grid.step));
  if (onsets !== undefined) conditions.push(mixed(onsets));
  const wanted = bitsOf(contains ?? []);
  const unwanted = bitsOf(avoids ?? []);
  if (wanted !== 0 || unwanted !== 0)
    conditions.push((meeting) => {
      const found = meeting.contained();
      return (found & wanted) === wanted && (found & unwanted) === 0;
    });
  if (conditions.length === 0) return null;
  return (meeting) => conditions.every((condition) => condition(meeting));
}
