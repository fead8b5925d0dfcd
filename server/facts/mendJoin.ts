/**
 * Changes that mend a join beyond the user's limits. Each kind proposes its smallest changes in order; the first that
 * does it is kept: the routine with it has no errors, the join is within the limits, and nothing else is beyond them that was not before.
 */
import type { SingleEdit } from "../../schemas/edit.ts";
import type { JoinFacts, Mend, PlacementRef } from "../../schemas/facts.ts";
import type { Pattern, PatternPlacement, Routine, Sample, Stroke } from "../../schemas/routine.ts";
import { recordRound } from "../hands/record.ts";
import { repeatsEvery, sampleOf } from "../routine/lookups.ts";
import {
  barAndAt,
  type Bench,
  benchOf,
  changed,
  countBeyond,
  countOver,
  durationOf,
  type Here,
  hereOf,
  isBeyond,
  mendOf,
  type Proposal,
  smallestFirst,
  steps,
  type Worked,
} from "./mend.ts";
import { called, plural, short } from "./words.ts";

/** So many steps earlier or later are tried: each of the first, then every eighth, which is a beat or so. */
const STEPS = [...count(1, 32, 1), ...count(40, 128, 8)];
/** A stroke that brings the record is not longer than this. */
const LONGEST_STROKE = 16;

function count(from: number, to: number, by: number): number[] {
  return Array.from({ length: Math.floor((to - from) / by) + 1 }, (_, index) => from + index * by);
}

interface Join {
  readonly bench: Bench;
  readonly join: JoinFacts;
  readonly from: Here;
  readonly to: Here;
  readonly sample: Sample;
  /** Whether one ends exactly where the other starts. */
  readonly touching: boolean;
}

type Proposals = Generator<Proposal>;

/** Degrees as a routine file would say them. */
const rounded = (degrees: number): number => Number(degrees.toFixed(3));

/** The same sound as `position`, from 0 to one repeat. */
function reduced(position: number, every: number): number {
  return rounded(every === 0 ? position : position - every * Math.floor(position / every));
}

/** Whole steps of its record hand that a placement lasts, a part of one not counted. */
const wholeSteps = (here: Here): number =>
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
    words: `Let ${called(to.pattern)} go on where the record is left.`,
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

function* leaveEarlier({ from }: Join): Proposals {
  for (const fewer of STEPS) {
    const shorter = left(from, fewer);
    if (shorter === null) return;
    const words = `End ${called(from.pattern)} ${plural(String(fewer), "step")} earlier.`;
    yield { kind: "leave-earlier", words, edits: [shorter.edit], size: shorter.size };
  }
}

function* startLater({ from, to }: Join): Proposals {
  const { step } = to;
  // A placement that lasts until the next starts would only grow after it: its end is written down.
  const ends = from.placement.lasts === undefined ? wholeSteps(from) : null;
  if (step === null || ends === 0) return;
  for (const later of STEPS) {
    const rest = Math.floor((durationOf(to) - later * step) / step);
    if (rest < 1) return;
    const lasts = to.placement.lasts === undefined ? {} : { lasts: steps(rest) };
    const there = { ...barAndAt(to.placed.start + later * step, to.bar), ...lasts, carriesOn: undefined };
    yield {
      kind: "start-later",
      words: `Start ${called(to.pattern)} ${plural(String(later), "step")} later.`,
      edits: [
        changed(
          { here: to, to: there },
          ...(ends === null ? [] : [{ here: from, to: { lasts: steps(ends) } }]),
        ),
      ],
      size: later * step,
    };
  }
}

function freeId(patterns: readonly Pattern[], wanted: string): string {
  const taken = new Set(patterns.map(({ id }) => id));
  for (let n = 1; ; n++) {
    const id = n === 1 ? wanted : `${wanted}-${n}`;
    if (!taken.has(id)) return id;
  }
}

/** `from` ends so many steps earlier, and one stroke under a closed fader stands in their place. */
function bridged(routine: Routine, from: Here, fewer: number, id: string, name: string, stroke: Stroke) {
  const shorter = left(from, fewer);
  if (shorter === null || from.step === null) return null;
  const { step } = from.pattern.record;
  const pattern: Pattern = {
    id: freeId(routine.patterns, id),
    name,
    record: { step, strokes: [{ ...stroke, length: fewer }] },
    fader: { step, cells: [{ fader: "closed", length: fewer }] },
  };
  const { bar, at } = barAndAt(from.placed.start + (wholeSteps(from) - fewer) * from.step, from.bar);
  const { sample, player } = from.placement;
  const placement: PatternPlacement = {
    pattern: pattern.id,
    bar,
    ...(at === undefined ? {} : { at }),
    lasts: { cycles: 1 },
    ...(sample === undefined ? {} : { sample }),
    ...(player === undefined ? {} : { player }),
    carriesOn: true,
  };
  const edits: SingleEdit[] = [
    shorter.edit,
    { kind: "add-pattern", pattern },
    { kind: "add-placements", section: from.ref.section, placements: [placement] },
  ];
  return { edits, size: shorter.size };
}

function* oppositeStroke({ bench, join, from, to }: Join): Proposals {
  if (join.sampleChanges) return;
  for (const fewer of STEPS.filter((steps) => steps <= LONGEST_STROKE)) {
    const shorter = left(from, fewer);
    const tried = shorter === null ? null : bench.tryOut([shorter.edit]);
    if (tried === null) return;
    const move = joinInto(tried, to.ref)?.moveDegrees ?? 0;
    const travel = rounded(Math.abs(move));
    if (travel === 0 || travel > 3600) continue;
    const back = move < 0 ? "back" : "forward";
    const stroke: Stroke = { move: back, travel };
    const bridge = bridged(bench.routine, from, fewer, "bring-record", "Bring the record", stroke);
    if (bridge === null) return;
    yield {
      kind: "opposite-stroke",
      words: `End ${called(from.pattern)} ${plural(String(fewer), "step")} earlier and bring the record ${short(travel)} degrees ${back} in that time, the fader closed.`,
      ...bridge,
    };
  }
}

function* releasedStroke({ bench, join, from }: Join): Proposals {
  if (join.sampleChanges) return;
  for (const fewer of STEPS) {
    const stroke: Stroke = { move: "forward", shape: "released" };
    const bridge = bridged(bench.routine, from, fewer, "let-go", "Let go", stroke);
    if (bridge === null) return;
    yield {
      kind: "released-stroke",
      words: `End ${called(from.pattern)} ${plural(String(fewer), "step")} earlier and let the record run in that time, the fader closed.`,
      ...bridge,
    };
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

const KINDS = [
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
] as const;

const isRef = (a: PlacementRef, b: PlacementRef): boolean =>
  a.section === b.section && a.placement === b.placement;

/** The join that leads into a placement. */
export const joinInto = ({ sections }: Worked, to: PlacementRef): JoinFacts | undefined =>
  sections.find(({ id }) => id === to.section)?.joins.find((join) => isRef(join.to, to));

/**
 * The mends of the join that leads into a placement, the smallest first; none where there is no such join or it is
 * within the limits. One of each kind at most; a kind that finds none is left out.
 *
 * @param routine without errors
 */
export function joinMends(routine: Routine, to: PlacementRef): Mend[] {
  const bench = benchOf(routine);
  const join = joinInto(bench, to);
  if (join === undefined || !isBeyond(join)) return [];
  const [before, after] = [hereOf(bench, join.from), hereOf(bench, join.to)];
  if (before === null || after === null) return [];
  const sample = sampleOf(routine.rig, after.placement.sample);
  const touching = join.seconds === 0;
  const all: Join = { bench, join, from: before, to: after, sample, touching };
  const [had, over] = [countBeyond(bench.sections), countOver(bench.sections)];
  const mends = KINDS.flatMap((kind) => {
    for (const proposal of kind(all)) {
      const tried = bench.tryOut(proposal.edits);
      if (tried === null || countBeyond(tried.sections) >= had || countOver(tried.sections) > over) continue;
      const mended = joinInto(tried, to);
      if (mended === undefined || isBeyond(mended) || !bench.isClean(tried)) continue;
      return [mendOf(proposal, mended.verdict)];
    }
    return [];
  });
  return smallestFirst(mends);
}
