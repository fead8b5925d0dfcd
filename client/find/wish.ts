/** What is looked for, as the form holds it, and the question that it makes. Pure. */
import {
  type Filter,
  type FindableName,
  type FindQuestion,
  type Found,
  LONGEST_FADER,
  LONGEST_RECORD,
  type OnsetMix,
  type RankedBy,
  type Ranking,
} from "../../schemas/find.ts";
import type { FaderState, Move, Pattern, Routine } from "../../schemas/routine.ts";

/** An end of a range; undefined: no bound. */
export interface Bounds {
  readonly from?: number | undefined;
  readonly to?: number | undefined;
}
export type Onset = keyof OnsetMix;
/** A scratch may, must or must not stand in the phrase. */
export type Standing = "may" | "must" | "must not";

export interface Wish {
  readonly record: { readonly from: number; readonly to: number };
  readonly fader: { readonly from: number; readonly to: number };
  readonly strokes: readonly Move[];
  readonly cells: readonly FaderState[];
  readonly step: string;
  readonly combined: Bounds;
  readonly sounds: Bounds;
  readonly withinBars: number | undefined;
  readonly playableAt: number | undefined;
  readonly mirrored: "any" | "yes" | "no";
  readonly drift: "any" | "zero" | "closable";
  readonly scratches: Readonly<Record<FindableName, Standing>>;
  /** Percent of the sounds. */
  readonly onsets: Readonly<Record<Onset, Bounds>>;
  readonly by: RankedBy | "listing";
  readonly first: "least" | "most";
  /** Phrases with drift are given with the travels of one direction scaled, so that there is none. */
  readonly close: boolean;
}

export const FIRST_WISH: Wish = {
  record: { from: 2, to: 4 },
  fader: { from: 3, to: 5 },
  strokes: ["forward", "back"],
  cells: ["open", "click"],
  step: "1/16",
  combined: {},
  sounds: {},
  withinBars: undefined,
  playableAt: undefined,
  mirrored: "any",
  drift: "any",
  scratches: { baby: "may", tear: "may" },
  onsets: { cut: {}, turn: {}, restart: {}, "from-rest": {} },
  by: "difficulty",
  first: "least",
  close: false,
};

/** As many are given back; a player wants twenty good ones. */
export const TOP = 240;

const isOpen = ({ from, to }: Bounds): boolean => from === undefined && to === undefined;
const backwards = ({ from, to }: Bounds): boolean => from !== undefined && to !== undefined && from > to;

/** What makes no sense in it, as a sentence; null where all does. */
export function troubleOf(wish: Wish): string | null {
  if (wish.strokes.length === 0) return "Choose at least one kind of stroke for the record hand.";
  if (wish.cells.length === 0) return "Choose at least one kind of cell for the fader hand.";
  const ranges: readonly (readonly [string, Bounds])[] = [
    ["The record cycle", wish.record],
    ["The fader cycle", wish.fader],
    ["The combined length", wish.combined],
    ["The number of sounds", wish.sounds],
    ...Object.entries(wish.onsets),
  ];
  const turned = ranges.find(([, bounds]) => backwards(bounds));
  return turned === undefined
    ? null
    : `${turned[0]} runs backwards: ${turned[1].from} is above ${turned[1].to}. Exchange the two.`;
}

export function filterOf(wish: Wish): Filter {
  const named = (standing: Standing): FindableName[] =>
    (Object.keys(wish.scratches) as FindableName[]).filter((name) => wish.scratches[name] === standing);
  const range = ({ from = 0, to = LONGEST_RECORD * LONGEST_FADER }: Bounds) => ({ from, to });
  const onsets: OnsetMix = {};
  for (const onset of Object.keys(wish.onsets) as Onset[]) {
    const { from = 0, to = 100 } = wish.onsets[onset];
    if (!isOpen(wish.onsets[onset])) onsets[onset] = { from: from / 100, to: to / 100 };
  }
  const filter: { -readonly [Key in keyof Filter]: Filter[Key] } = {};
  if (!isOpen(wish.combined)) filter.combinedSteps = range(wish.combined);
  if (!isOpen(wish.sounds)) filter.sounds = range(wish.sounds);
  if (wish.withinBars !== undefined) filter.withinBars = wish.withinBars;
  if (wish.playableAt !== undefined) filter.playableAt = wish.playableAt;
  if (wish.mirrored !== "any") filter.mirrored = wish.mirrored === "yes";
  if (wish.drift !== "any") filter.drift = wish.drift;
  if (named("must").length > 0) filter.contains = named("must");
  if (named("must not").length > 0) filter.avoids = named("must not");
  if (Object.keys(onsets).length > 0) filter.onsets = onsets;
  return filter;
}

const rankingOf = ({ by, first }: Wish): { ranking?: Ranking } =>
  by === "listing" ? {} : { ranking: { by, first } };

/** @param meter of the section that lends the bar */
export function questionOf(wish: Wish, routine: Routine, meter: string): FindQuestion {
  const { record, fader, strokes, cells, step } = wish;
  const { limits, platter } = routine.rig ?? {};
  return {
    space: { record, fader, strokes: [...strokes], cells: [...cells] },
    filter: filterOf(wish),
    ...rankingOf(wish),
    top: TOP,
    meter,
    step,
    ...(limits === undefined ? {} : { limits }),
    ...(platter === undefined ? {} : { platter }),
    ...(wish.by === "distance" ? { library: routine.patterns } : {}),
  };
}

/** The space alone, to be counted without looking through it. */
export const countingOf = ({ space, meter, step }: FindQuestion): FindQuestion => ({
  space,
  top: 0,
  ...(meter === undefined ? {} : { meter }),
  ...(step === undefined ? {} : { step }),
});

/** @param close its drift, where the travels of one direction can */
export function patternOf(found: Found, step: string, close: boolean): Pattern {
  const { record, fader, closesWith } = found;
  const travel = (move: Move): { travel?: number } =>
    close && closesWith?.move === move ? { travel: closesWith.travel } : {};
  return {
    id: "found",
    name: `${record.length} under ${fader.length}`,
    record: { step, strokes: record.map((move) => ({ move, ...travel(move) })) },
    fader: { step, cells: fader.map((state) => ({ fader: state })) },
  };
}
