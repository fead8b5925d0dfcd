/**
 * The record hand from its position and speed as the strand "record" writes them: so it is known where nothing sounds
 * too. Position is a 14-bit controller within the sample's repeat, speed a pitch bend; each stands at the edges of a
 * stroke.
 */
import { DEFAULT_TRAVEL, type Stroke } from "../../../schemas/routine.ts";
import { doneAfter } from "../../hands/record.ts";
import type { ReadTrack } from "./file.ts";

/** A stretch of one stroke, in ticks. */
export interface Moved {
  readonly from: number;
  readonly to: number;
  readonly stroke: Pick<Stroke, "move" | "travel" | "shape">;
}

const ROUND = 16_384;
/** Steps of the bend up to which the record rests for a moment: one stroke ends and another of its direction begins. */
const AT_REST = 64;
/** A move of this part of a round within a forty-eighth of a quarter is none: the record was taken elsewhere. */
const TAKEN = 1 / 6;

/** Positions, each over the low byte that follows the high one. */
function positionsOf(tracks: readonly ReadTrack[], number: number): { tick: number; value: number }[] {
  const found: { tick: number; value: number }[] = [];
  let low = false;
  for (const { controllers } of tracks) {
    for (const { number: own, value, tick } of controllers) {
      const last = found.at(-1);
      if (own === number) {
        if (last?.tick === tick) last.value = value * 128;
        else found.push({ tick, value: value * 128 });
      } else if (own === number + 32 && last?.tick === tick) {
        last.value = (last.value & ~127) | value;
        low = true;
      }
    }
  }
  return low ? found.sort((a, b) => a.tick - b.tick) : [];
}

/** @returns whether the tracks tell the record's position, finely enough */
export const tellsPosition = (tracks: readonly ReadTrack[], number: number): boolean =>
  positionsOf(tracks, number).length > 1;

/**
 * @param number the position's controller
 * @param round degrees of the platter that its 14 bits go round
 */
export function movedBy(
  tracks: readonly ReadTrack[],
  { number, round, ppq }: { readonly number: number; readonly round: number; readonly ppq: number },
): Moved[] {
  const positions = positionsOf(tracks, number);
  const speeds = new Map(tracks.flatMap(({ bends }) => bends).map(({ tick, value }) => [tick, value]));
  const moved: Moved[] = [];
  let way = 0;
  let since = 0;
  let from = positions[0]?.tick ?? 0;
  let peak = 0;

  const end = (to: number): void => {
    if (to > from)
      moved.push({ from, to, stroke: strokeOf(way, since, Math.abs(speeds.get(from) ?? 0) > peak / 2) });
    from = to;
    since = 0;
    peak = 0;
  };
  for (const [index, { tick, value }] of positions.entries()) {
    const before = positions[index - 1];
    if (before === undefined) continue;
    const step = ((value - before.value + 1.5 * ROUND) % ROUND) - ROUND / 2;
    const taken = Math.abs(step) > TAKEN * ROUND && tick - before.tick <= ppq / 40;
    const here = taken ? way : Math.sign(step);
    const rests = Math.abs(speeds.get(before.tick) ?? AT_REST + 1) <= AT_REST;
    if (here !== way || (here !== 0 && rests)) end(before.tick);
    way = here;
    if (!taken) since += step;
    peak = Math.max(peak, Math.abs(speeds.get(before.tick) ?? 0));
  }
  // At the end of a clip no event may stand: what is left of the last stroke follows from its shape.
  const [lastTick, lastOf] = [
    positions.at(-1)?.tick ?? from,
    Math.max(from, ...tracks.map((track) => track.end)),
  ];
  const even = Math.abs(speeds.get(from) ?? 0) > peak / 2;
  if (lastTick > from && way !== 0)
    since /= doneAfter(even ? "even" : "eased", (lastTick - from) / (lastOf - from));
  end(lastOf);
  return moved;

  function strokeOf(direction: number, steps: number, even: boolean): Moved["stroke"] {
    if (direction === 0) return { move: "hold" };
    const degrees = (Math.abs(steps) * round) / ROUND;
    // A position is cut off to a whole number: two are off by up to one.
    const near = Math.round(degrees);
    const travel =
      near > 0 && Math.abs(degrees - near) <= (1.5 * round) / ROUND ? near : Number(degrees.toFixed(2));
    return {
      move: direction > 0 ? "forward" : "back",
      ...(travel === DEFAULT_TRAVEL ? {} : { travel }),
      ...(even ? { shape: "even" as const } : {}),
    };
  }
}
