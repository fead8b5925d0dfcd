/** A MIDI file as a beat: each key its hits, put on steps. */
import { DEFAULT_VELOCITY, type Beat, type Hit } from "../../../schemas/routine.ts";
import { bendsLeftOut, type MidiContent } from "./file.ts";
import { gridOf } from "./grid.ts";

/** A beat longer than this is no loop. */
const MOST_STEPS = 16_384;

export interface BeatChoice {
  readonly id: string;
  readonly name?: string;
  /** "1/16". */
  readonly step: string;
  /** Indexes of the tracks to take; all where left out. */
  readonly tracks?: readonly number[];
  /** Keys to take; all where left out. */
  readonly keys?: readonly number[];
}

export interface ReadBeat {
  readonly beat: Beat;
  /** The furthest that a hit was moved, in steps: 0 where every hit stood on its step. */
  readonly error: number;
  readonly leftOut: readonly string[];
}

/** The beat is as long as the longest track taken. A hit nearest to its end is the first of the next round. */
export function beatOf(content: MidiContent, choice: BeatChoice): ReadBeat | { readonly problem: string } {
  const { tracks, keys } = choice;
  const taken = content.tracks.filter((_, index) => tracks === undefined || tracks.includes(index));
  const grid = gridOf(choice.step, content.ppq);
  const steps = Math.max(0, ...taken.map(({ end }) => grid.nearest(end)));
  if (steps < 1) return { problem: "There is nothing in these tracks that lasts a step." };
  if (steps > MOST_STEPS) {
    return {
      problem: `This is ${steps} steps long, more than the ${MOST_STEPS} of a beat. Take a longer step or less of it.`,
    };
  }

  const loudest = new Map<number, Map<number, number>>();
  let error = 0;
  let doubled = 0;
  let otherKeys = 0;
  for (const { notes } of taken) {
    for (const { key, velocity, from } of notes) {
      if (keys !== undefined && !keys.includes(key)) {
        otherKeys++;
        continue;
      }
      error = Math.max(error, grid.error(from));
      const at = grid.nearest(from) % steps;
      const ofKey = loudest.get(key) ?? new Map<number, number>();
      loudest.set(key, ofKey);
      if (ofKey.has(at)) doubled++;
      ofKey.set(at, Math.max(velocity, ofKey.get(at) ?? 0));
    }
  }

  const hits: Hit[] = [];
  for (const [key, ofKey] of [...loudest].sort(([a], [b]) => a - b)) {
    for (const velocity of [...new Set(ofKey.values())].sort((a, b) => b - a)) {
      const at = [...ofKey].filter(([, one]) => one === velocity).map(([one]) => one);
      at.sort((a, b) => a - b);
      hits.push({ key, at, ...(velocity === DEFAULT_VELOCITY ? {} : { velocity }) });
    }
  }
  const { id, name, step } = choice;
  return {
    beat: { id, ...(name === undefined ? {} : { name }), step, steps, hits },
    error,
    leftOut: [
      ...content.leftOut,
      ...bendsLeftOut(content),
      ...(otherKeys > 0 ? [`Left out: ${otherKeys} notes of other keys.`] : []),
      ...(doubled > 0
        ? [`Left out: ${doubled} hits that fell on a step with a louder one of their key.`]
        : []),
    ],
  };
}
