/**
 * The space of combinations, listed and searched.
 *
 * A listing is lazy: it makes what is asked for, holds one block (findSpace.ts), and can be taken up again after any
 * place, which is a plain number. A search looks at every combination of some blocks and keeps the first of a ranking,
 * so that blocks can be searched by different threads and the outcomes joined; see findWorkers.ts.
 */
import type { Found, Space } from "../../schemas/find.ts";
import { UNITS_PER_WHOLE } from "../../schemas/units.ts";
import { gcdOf } from "../time/fraction.ts";
import { foundOf, type Grid } from "./findAnswer.ts";
import { type FaderCycleFacts, faderFacts, type RecordCycleFacts, recordFacts } from "./findCycles.ts";
import { Meeting } from "./findMeeting.ts";
import type { FindPlan } from "./findPlan.ts";
import { type Block, blocksOf } from "./findSpace.ts";
import { Top } from "./findTop.ts";
import { lyndonWords } from "./lyndon.ts";

/** A block holds fewer combinations than this, so a place is the block's index times this, plus one for each before. */
const PLACES = 2 ** 25;

/**
 * Every combination of a block, in order, with its facts. The meeting that is handed out is one object, filled again
 * for the next.
 */
export function* meetingsOf(block: Block, { strokes, cells }: Space, { step }: Grid): Generator<Meeting> {
  const g = gcdOf(block.record, block.fader);
  const meeting = new Meeting(block.record, block.fader, (step * 16) / UNITS_PER_WHOLE);
  const records: RecordCycleFacts[] = [];
  for (const word of lyndonWords(strokes.length, block.record, block.recordBeginning))
    records.push(recordFacts(word, strokes, g));
  const faders: FaderCycleFacts[] = [];
  for (const word of lyndonWords(cells.length, block.fader, block.faderBeginning))
    faders.push(faderFacts(word, cells, g));
  for (const record of records) {
    for (const fader of faders) {
      for (let phase = 0; phase < g; phase++) {
        meeting.meet(record, fader, phase);
        yield meeting;
      }
    }
  }
}

export interface Listed {
  readonly place: number;
  readonly found: Found;
}

/** The combinations that match, in the order of the listing, from the one after `after` on; lazy. */
export function* listing({ question, grid, condition }: FindPlan, after = -1): Generator<Listed> {
  for (const block of blocksOf(question.space)) {
    if ((block.index + 1) * PLACES <= after) continue;
    let place = block.index * PLACES;
    for (const meeting of meetingsOf(block, question.space, grid)) {
      if (place > after && (condition === null || condition(meeting)))
        yield { place, found: foundOf(meeting, grid) };
      place++;
    }
  }
}

/** What a search has seen so far. */
export interface Seen {
  looked: number;
  matching: number;
  readonly top: Top<Found>;
}

export const nothingSeen = (plan: FindPlan): Seen => ({
  looked: 0,
  matching: 0,
  top: new Top(plan.question.top),
});

/** Between two questions whether to go on. */
const EVERY = 4096;

/**
 * Looks at every combination of a block and adds to what was seen.
 *
 * @param goOn asked every few thousand combinations, after `seen` was brought up to date
 * @returns whether the block was searched to its end
 */
export function search(plan: FindPlan, block: Block, seen: Seen, goOn: () => boolean): boolean {
  const { question, grid, condition, value } = plan;
  const sign = question.ranking?.first === "most" ? -1 : 1;
  let place = block.index * PLACES;
  for (const meeting of meetingsOf(block, question.space, grid)) {
    seen.looked++;
    if (condition === null || condition(meeting)) {
      seen.matching++;
      const rankedAt = value === null ? 0 : value(meeting);
      if (seen.top.wants(sign * rankedAt, place))
        seen.top.add({
          value: sign * rankedAt,
          place,
          item: foundOf(meeting, grid, value === null ? undefined : rankedAt),
        });
    }
    place++;
    if (seen.looked % EVERY === 0 && !goOn()) return false;
  }
  return true;
}
