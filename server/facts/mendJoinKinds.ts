/** The kinds of change that may mend a join, each with its proposals in order of size; none of them is tried here. */
import type { SingleEdit } from "../../schemas/edit.ts";
import type { JoinFacts } from "../../schemas/facts.ts";
import type { Pattern, PatternPlacement, Sample, Stroke } from "../../schemas/routine.ts";
import { recordRound } from "../hands/record.ts";
import { called, plural } from "../routine/called.ts";
import { freeId, idsOf } from "../../schemas/freeId.ts";
import { limitsOf, repeatsEvery } from "../routine/lookups.ts";
import type { Clock } from "./clock.ts";
import {
  type Bench,
  barAndAt,
  changed,
  durationOf,
  type Here,
  joinInto,
  type Proposal,
  steps,
} from "./mendBench.ts";
import { atMost } from "./tolerance.ts";
import { short } from "./words.ts";

/** At most so many steps earlier or later are tried, and compiled. */
const MOST_STEPS = 4096;
const MOST_TRIED = 48;
/** A stroke that brings the record is not longer than this. */
const LONGEST_STROKE = 16;

/** A join beyond the limits, and all that a change of it is worked out from. */
export interface Join {
  readonly bench: Bench;
  readonly clock: Clock;
  readonly join: JoinFacts;
  readonly from: Here;
  readonly to: Here;
  readonly sample: Sample;
  /** Whether one ends exactly where the other starts. */
  readonly touching: boolean;
}

type Proposals = Generator<Proposal>;

/** Which of the two gives up time: the phrase before at its end, or the one after at its start. */
type Side = "from" | "to";
const SIDES: readonly Side[] = ["from", "to"];

/** Degrees as a routine file would say them. */
const rounded = (degrees: number): number => Number(degrees.toFixed(3));

/** The same sound as `position`, from 0 to one repeat. */
export function reduced(position: number, every: number): number {
  return rounded(every === 0 ? position : position - every * Math.floor(position / every));
}

/** Whole steps of its record hand that a placement lasts, a part of one not counted. */
export const wholeSteps = (here: Here): number =>
  here.step === null ? 0 : Math.floor(durationOf(here) / here.step);

/** The edit by which `from` is left `fewer` steps before its whole steps are over. */
function left(from: Here, fewer: number): { edit: SingleEdit; size: number } | null {
  const count = wholeSteps(from) - fewer;
  if (from.step === null || count < 1) return null;
  return {
    edit: changed({ here: from, to: { lasts: steps(count) } }),
    size: durationOf(from) - count * from.step,
  };
}

function* carryOn({ join, to, touching }: Join): Proposals {
  if (join.sampleChanges || !touching) return;
  yield {
    kind: "carry-on",
    words: `Let ${called(to.pattern)} carry on where the record is left.`,
    edits: [changed({ here: to, to: { carriesOn: true, recordAt: undefined } })],
    size: 0,
  };
}

function* startOnRecord({ join, to, from, sample }: Join): Proposals {
  if (join.sampleChanges) return;
  const recordAt = reduced(from.placed.to, repeatsEvery(sample));
  yield {
    kind: "start-on-record",
    words: `Start ${called(to.pattern)} at ${short(recordAt)} degrees, where the record is left.`,
    edits: [changed({ here: to, to: { recordAt, carriesOn: undefined } })],
    size: 0,
  };
}

function* startInCycle({ join, to }: Join): Proposals {
  if (join.sampleChanges) return;
  const { moves, firstMoves, released } = recordRound(to.pattern.record);
  if (released) return;
  const now = to.placement.recordFrom ?? 0;
  for (let ahead = 1; ahead < firstMoves.length; ahead++) {
    const recordFrom = (now + ahead) % firstMoves.length;
    const first = firstMoves[now] as number;
    const count = ((firstMoves[recordFrom] as number) - first + moves.length) % moves.length;
    let position: number = to.placed.from;
    for (let move = 0; move < count; move++) position += moves[(first + move) % moves.length]?.travel ?? 0;
    yield {
      kind: "start-in-cycle",
      words: `Start ${called(to.pattern)} with stroke ${recordFrom + 1}, at ${short(position)} degrees.`,
      edits: [changed({ here: to, to: { recordFrom, recordAt: rounded(position), carriesOn: undefined } })],
      size: 0,
    };
  }
}

/** Whether there is time for a change of sample once one ends and the other starts so many units further apart. */
function isLongEnough({ bench, clock, join, from, to }: Join, earlier: number, by: number): boolean {
  if (!join.sampleChanges) return true;
  const { sections } = bench.performance;
  const start = (here: Here): number =>
    sections.find(({ performance }) => performance.id === here.ref.section)?.start ?? 0;
  const [end, next] = [start(from) + from.placed.end, start(to) + to.placed.start];
  return atMost(limitsOf(bench.routine.rig).changeSeconds, clock.secondsBetween(end - earlier, next + by));
}

/** The numbers of steps that one of the two could give up, the smallest first, where they may leave time enough. */
function* worthTrying(all: Join, side: Side): Generator<number> {
  const step = all[side].step ?? 0;
  let tried = 0;
  for (let steps = 1; steps <= MOST_STEPS && tried < MOST_TRIED; steps++) {
    const by = steps * step;
    if (!(side === "from" ? isLongEnough(all, by, 0) : isLongEnough(all, 0, by))) continue;
    tried++;
    yield steps;
  }
}

function* leaveEarlier(all: Join): Proposals {
  const { from } = all;
  for (const fewer of worthTrying(all, "from")) {
    const shorter = left(from, fewer);
    if (shorter === null) return;
    const words = `End ${called(from.pattern)} ${plural(fewer, "step")} earlier.`;
    yield { kind: "leave-earlier", words, edits: [shorter.edit], size: shorter.size };
  }
}

/** The changes by which `to` starts so many steps later: pushed along, and, where it has room, ending where it did. */
function later(
  from: Here,
  to: Here,
  by: number,
  // A placement that lasts until the next starts would only grow after it: its end is written down.
  ends = from.placement.lasts === undefined ? wholeSteps(from) : null,
): SingleEdit[] {
  if (to.step === null || ends === 0) return [];
  const there = { ...barAndAt(to.placed.start + by * to.step, to.bar), carriesOn: undefined };
  const before = ends === null ? [] : [{ here: from, to: { lasts: steps(ends) } }];
  const rest = Math.floor((durationOf(to) - by * to.step) / to.step);
  const pushed = to.placement.lasts === undefined ? [] : [changed({ here: to, to: there }, ...before)];
  const shorter = { ...there, lasts: steps(rest) };
  return rest < 1 ? pushed : [...pushed, changed({ here: to, to: shorter }, ...before)];
}

function* startLater(all: Join): Proposals {
  const { from, to } = all;
  for (const by of worthTrying(all, "to")) {
    for (const edit of later(from, to, by)) {
      const words = `Start ${called(to.pattern)} ${plural(by, "step")} later.`;
      yield { kind: "start-later", words, edits: [edit], size: by * (to.step as number) };
    }
  }
}

/** Both give up steps, for where neither has enough of them alone: the fewest in all first. */
export function* bothShorter(all: Join): Proposals {
  const { from, to } = all;
  const pairs: { earlier: number; by: number; size: number }[] = [];
  for (let earlier = 1; earlier < Math.min(wholeSteps(from), MOST_STEPS); earlier++) {
    for (let by = 1; by < Math.min(wholeSteps(to), MOST_STEPS); by++) {
      const [back, on] = [earlier * (from.step as number), by * (to.step as number)];
      if (!isLongEnough(all, back, on)) continue;
      pairs.push({ earlier, by, size: back + on });
      break;
    }
  }
  pairs.sort((a, b) => a.size - b.size);
  for (const { earlier, by, size } of pairs.slice(0, MOST_TRIED)) {
    for (const edit of later(from, to, by, wholeSteps(from) - earlier)) {
      const words = `${givesUp(all, "from", earlier)}, and start ${called(to.pattern)} ${plural(by, "step")} later.`;
      yield { kind: "both-shorter", words, edits: [edit], size };
    }
  }
}

/** One of the two gives up so many of its steps, and one stroke under a closed fader stands in their place. */
function bridged(all: Join, side: Side, given: number, id: string, name: string, stroke: Stroke) {
  const { bench, from, to, touching } = all;
  const here = side === "from" ? from : to;
  const { step } = here;
  const cut = side === "from" ? left(from, given)?.edit : later(from, to, given).at(-1);
  if (cut === undefined || step === null || wholeSteps(here) <= given) return null;
  const pattern: Pattern = {
    id: freeId(id, idsOf(bench.routine.patterns)),
    name,
    record: { step: here.pattern.record.step, strokes: [{ ...stroke, length: given }] },
    fader: { step: here.pattern.record.step, cells: [{ fader: "closed", length: given }] },
  };
  const starts = side === "from" ? from.placed.start + (wholeSteps(from) - given) * step : to.placed.start;
  const { bar, at } = barAndAt(starts, here.bar);
  const { sample, player } = here.placement;
  const placement: PatternPlacement = {
    pattern: pattern.id,
    bar,
    ...(at === undefined ? {} : { at }),
    lasts: { cycles: 1 },
    ...(sample === undefined ? {} : { sample }),
    ...(player === undefined ? {} : { player }),
    ...(side === "from" || touching ? { carriesOn: true } : { recordAt: rounded(from.placed.to) }),
  };
  const edits: SingleEdit[] = [
    cut,
    { kind: "add-pattern", pattern },
    { kind: "add-placements", section: here.ref.section, placements: [placement] },
  ];
  const size = side === "from" ? durationOf(from) - (wholeSteps(from) - given) * step : given * step;
  return { edits, size };
}

const givesUp = ({ from, to }: Join, side: Side, given: number): string =>
  side === "from"
    ? `End ${called(from.pattern)} ${plural(given, "step")} earlier`
    : `Start ${called(to.pattern)} ${plural(given, "step")} later`;

/** How the record must be brought once one of the two has given up its steps. */
function wayLeft({ bench, from, to, join }: Join, side: Side, given: number): number {
  if (side === "to") return join.moveDegrees ?? 0;
  const shorter = left(from, given);
  const tried = shorter === null ? null : bench.tryOut([shorter.edit]);
  return (tried === null ? null : joinInto(tried, to.ref)?.moveDegrees) ?? 0;
}

function* oppositeStroke(all: Join): Proposals {
  if (all.join.sampleChanges) return;
  for (let given = 1; given <= LONGEST_STROKE; given++) {
    for (const side of SIDES) {
      const move = wayLeft(all, side, given);
      const travel = rounded(Math.abs(move));
      if (travel === 0 || travel > 3600) continue;
      const back = move < 0 ? "back" : "forward";
      const stroke: Stroke = { move: back, travel };
      const bridge = bridged(all, side, given, "bring-record", "Bring the record", stroke);
      if (bridge === null) continue;
      yield {
        kind: "opposite-stroke",
        words: `${givesUp(all, side, given)} and bring the record ${short(travel)} degrees ${back} in that time, the fader closed.`,
        ...bridge,
      };
    }
  }
}

function* releasedStroke(all: Join): Proposals {
  if (all.join.sampleChanges) return;
  for (let given = 1; given <= MOST_TRIED; given++) {
    for (const side of SIDES) {
      const stroke: Stroke = { move: "forward", shape: "released" };
      const bridge = bridged(all, side, given, "let-go", "Let go", stroke);
      if (bridge === null) continue;
      const words = `${givesUp(all, side, given)} and let the record run in that time, the fader closed.`;
      yield { kind: "released-stroke", words, ...bridge };
    }
  }
}

function* sameSample({ join, from, to, touching }: Join): Proposals {
  if (!join.sampleChanges) return;
  const position = touching
    ? { carriesOn: true, recordAt: undefined }
    : { carriesOn: undefined, recordAt: rounded(from.placed.to) };
  yield {
    kind: "same-sample",
    words: `Play ${called(to.pattern)} on the sample that is there already, from where the record is left.`,
    edits: [changed({ here: to, to: { sample: from.placement.sample, ...position } })],
    size: 0,
  };
}

/** Started so that the record is left where the next one starts. */
function* sameSampleBefore({ join, from, to, sample }: Join): Proposals {
  if (!join.sampleChanges) return;
  const recordAt = reduced(from.placed.from - from.placed.to + to.placed.from, repeatsEvery(sample));
  yield {
    kind: "same-sample-before",
    words: `Play ${called(from.pattern)} on the sample that comes next, from ${short(recordAt)} degrees.`,
    edits: [changed({ here: from, to: { sample: to.placement.sample, recordAt, carriesOn: undefined } })],
    size: 0,
  };
}

function* cueButton({ to }: Join): Proposals {
  const words = `Reach ${called(to.pattern)} with a cue button, which takes no time.`;
  yield { kind: "cue-button", words, edits: [changed({ here: to, to: { arrives: "cue" } })], size: 0 };
}

export type Kind = (join: Join) => Proposals;

/** Each proposes changes of one kind, the smallest first. */
export const KINDS: readonly Kind[] = [
  carryOn,
  startOnRecord,
  startInCycle,
  sameSample,
  sameSampleBefore,
  cueButton,
  leaveEarlier,
  startLater,
  oppositeStroke,
  releasedStroke,
];
