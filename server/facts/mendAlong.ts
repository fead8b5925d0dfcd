/** A change that mends one join, carried on through the joins behind it. */
import type { JoinFacts, PlacementRef } from "../../schemas/facts.ts";
import { repeatsEvery, sampleOf } from "../routine/lookups.ts";
import { changed, durationOf, hereOf, isBeyond, type Proposal, type Worked } from "./mendBench.ts";
import { type Join, reduced } from "./mendJoinKinds.ts";

/** At most so many phrases after a change are moved along with it. */
const MOST_ALONG = 64;

export interface Tried {
  readonly proposal: Proposal;
  readonly worked: Worked;
}

/**
 * A change of one phrase can leave the record elsewhere for the next. Where that puts a join after it beyond the
 * limits, the phrase behind that join is moved along on its record by as much (onto the same sample, where that
 * changed), and so on.
 *
 * @returns null where it cannot be applied, or more than this is beyond the limits that was not before
 */
export function movedAlong({ bench, join }: Join, proposal: Proposal): Tried | null {
  const was = new Map(bench.sections.flatMap(({ joins }) => joins.map((one) => [keyOf(one.to), one])));
  const moved = new Set([keyOf(join.to)]);
  const edits = [...proposal.edits];
  let { size } = proposal;
  for (let along = 0; along <= MOST_ALONG; along++) {
    const worked = bench.tryOut(edits);
    if (worked === null) return null;
    const next = worked.sections
      .flatMap(({ joins }) => joins)
      .find((one) => isBeyond(one) && !isBeyondIn(was, one));
    if (next === undefined) {
      const words = along === 0 ? proposal.words : `${proposal.words} ${alongWords(along)}`;
      return { proposal: { ...proposal, words, edits, size }, worked };
    }
    const before = was.get(keyOf(next.to));
    const here = hereOf(bench, next.to);
    const leaves = hereOf(worked, next.from);
    if (next.player !== join.player || before?.moveDegrees == null || here === null || leaves === null)
      return null;
    // What does not help once does not help again.
    if (moved.has(keyOf(next.to))) return null;
    moved.add(keyOf(next.to));
    const { sample } = next.sampleChanges ? leaves.placement : here.placement;
    const every = repeatsEvery(sampleOf(bench.routine.rig, sample));
    const recordAt = reduced(leaves.placed.to + before.moveDegrees, every);
    edits.push(changed({ here, to: { sample, recordAt, carriesOn: undefined } }));
    size += durationOf(here);
  }
  return null;
}

const keyOf = ({ section, placement }: PlacementRef): string => `${section} ${placement}`;
const isBeyondIn = (was: ReadonlyMap<string, JoinFacts>, { to }: JoinFacts): boolean => {
  const before = was.get(keyOf(to));
  return before !== undefined && isBeyond(before);
};
const alongWords = (count: number): string =>
  count === 1 ? "The phrase after it moves along." : `The ${count} phrases after it move along.`;
