/**
 * A section's performance as it goes over the wire: columns instead of rows, so that a long routine stays small.
 * Times count GRAINS from the section's start: the longest stretch that all of them are whole multiples of, so that
 * they are short numbers. Nothing is rounded.
 */
import { z } from "zod";
import { once } from "./once.ts";
import type {
  BeatEvent,
  OpeningEvent,
  PlacedEvent,
  SectionPerformance,
  SoundEvent,
  StrokeEvent,
} from "./performance.ts";
import type { Degrees, Units } from "./units.ts";
import { Memory } from "./memory.ts";

/** Looked at as a whole: a schema for each of a hundred thousand numbers would be most of the cost of opening. */
const column = z.custom<number[]>((value) => Array.isArray(value) && value.every(Number.isFinite));
/** One letter an entry. */
const letters = z.string();

export const PackedSection = z.strictObject({
  id: z.string(),
  length: z.number(),
  bar: z.number(),
  /** Units of one grain. */
  grain: z.int().positive(),
  strokes: z.strictObject({
    start: column,
    end: column,
    /** f forward, b back, h hold. */
    direction: letters,
    from: column,
    to: column,
    /** e eased, v even, r released. */
    shape: letters,
    placement: column,
    /** Only of those that are cut off: index in these columns, the full end, the full travel. */
    cut: z.strictObject({ index: column, fullEnd: column, fullTravel: column }),
  }),
  openings: z.strictObject({ start: column, end: column, placement: column }),
  sounds: z.strictObject({
    start: column,
    end: column,
    direction: letters,
    /** c cut, t turn, s restart, r from rest. */
    onset: letters,
    from: column,
    to: column,
    placement: column,
  }),
  beat: z.strictObject({ at: column, key: column, velocity: column }),
  beatLength: z.number(),
  beatPhase: z.number(),
  placed: z.array(
    z.strictObject({
      placement: z.int(),
      player: z.int(),
      start: z.number(),
      end: z.number(),
      pattern: z.string().nullable(),
      words: z.string().nullable(),
      sample: z.string().nullable(),
      from: z.number(),
      to: z.number(),
      recordGroups: column,
      faderGroups: column,
    }),
  ),
});
export type PackedSection = z.infer<typeof PackedSection>;

const DIRECTIONS = { forward: "f", back: "b", hold: "h" } as const;
const SHAPES = { eased: "e", even: "v", released: "r" } as const;
const ONSETS = { cut: "c", turn: "t", restart: "s", "from-rest": "r" } as const;

const packed = new Memory<SectionPerformance, PackedSection>();

/** The greatest whole number that divides all times of a section; 1 where one of them is no whole number. */
function grainOf({ strokes, openings, sounds, beat, placed }: SectionPerformance): number {
  let grain = 0;
  const take = (time: number): void => {
    let [a, b] = [Math.abs(time), grain];
    // Most times are multiples of what was found so far.
    if (b !== 0 && a % b === 0) return;
    while (b !== 0) [a, b] = [b, a % b];
    grain = a;
  };
  for (const { start, end, fullEnd } of strokes) {
    take(start);
    take(end);
    take(fullEnd);
  }
  for (const events of [openings, sounds]) {
    for (const { start, end } of events) {
      take(start);
      take(end);
    }
  }
  for (const { at } of beat) take(at);
  for (const { start, end, recordGroups, faderGroups } of placed) {
    take(start);
    take(end);
    recordGroups.forEach(take);
    faderGroups.forEach(take);
  }
  return Number.isSafeInteger(grain) && grain > 0 ? grain : 1;
}

/** Remembered by identity: a section that did not change is packed once. */
export function packSection(section: SectionPerformance): PackedSection {
  const known = packed.get(section);
  if (known !== undefined) return known;
  const { strokes, openings, sounds, beat } = section;
  const grain = grainOf(section);
  const startOf = ({ start }: { readonly start: number }): number => start / grain;
  const endOf = ({ end }: { readonly end: number }): number => end / grain;
  const cut = [...strokes.keys()].filter((index) => {
    const { end, fullEnd, from, to, fullTravel } = strokes[index] as StrokeEvent;
    return fullEnd !== end || fullTravel !== to - from;
  });
  const result: PackedSection = {
    id: section.id,
    length: section.length,
    bar: section.bar,
    grain,
    strokes: {
      start: strokes.map(startOf),
      end: strokes.map(endOf),
      direction: strokes.map(({ direction }) => DIRECTIONS[direction]).join(""),
      from: strokes.map(({ from }) => from),
      to: strokes.map(({ to }) => to),
      shape: strokes.map(({ shape }) => SHAPES[shape]).join(""),
      placement: strokes.map(({ placement }) => placement),
      cut: {
        index: cut,
        fullEnd: cut.map((index) => (strokes[index] as StrokeEvent).fullEnd / grain),
        fullTravel: cut.map((index) => (strokes[index] as StrokeEvent).fullTravel),
      },
    },
    openings: {
      start: openings.map(startOf),
      end: openings.map(endOf),
      placement: openings.map(({ placement }) => placement),
    },
    sounds: {
      start: sounds.map(startOf),
      end: sounds.map(endOf),
      direction: sounds.map(({ direction }) => DIRECTIONS[direction]).join(""),
      onset: sounds.map(({ onset }) => ONSETS[onset]).join(""),
      from: sounds.map(({ from }) => from),
      to: sounds.map(({ to }) => to),
      placement: sounds.map(({ placement }) => placement),
    },
    beat: {
      at: beat.map(({ at }) => at / grain),
      key: beat.map(({ key }) => key),
      velocity: beat.map(({ velocity }) => velocity),
    },
    beatLength: section.beatLength,
    beatPhase: section.beatPhase,
    placed: section.placed.map((one) => ({
      ...one,
      start: startOf(one),
      end: endOf(one),
      recordGroups: one.recordGroups.map((at) => at / grain),
      faderGroups: one.faderGroups.map((at) => at / grain),
    })),
  };
  packed.set(section, result);
  return result;
}

const backwards = <Word extends string>(table: Readonly<Record<Word, string>>): Record<string, Word> =>
  Object.fromEntries(Object.entries(table).map(([word, letter]) => [letter, word])) as Record<string, Word>;
const DIRECTION_OF = backwards(DIRECTIONS);
const SHAPE_OF = backwards(SHAPES);
const ONSET_OF = backwards(ONSETS);

function strokesOf({ grain, strokes }: PackedSection): StrokeEvent[] {
  const unpacked = strokes.start.map((start, index) => {
    const from = strokes.from[index] as number;
    const to = strokes.to[index] as number;
    return {
      start: (start * grain) as Units,
      end: ((strokes.end[index] as number) * grain) as Units,
      direction: DIRECTION_OF[strokes.direction[index] as string] as StrokeEvent["direction"],
      from: from as Degrees,
      to: to as Degrees,
      shape: SHAPE_OF[strokes.shape[index] as string] as StrokeEvent["shape"],
      fullEnd: ((strokes.end[index] as number) * grain) as Units,
      fullTravel: (to - from) as Degrees,
      placement: strokes.placement[index] as number,
    };
  });
  for (const [order, index] of strokes.cut.index.entries()) {
    const stroke = unpacked[index];
    if (stroke === undefined) continue;
    stroke.fullEnd = ((strokes.cut.fullEnd[order] as number) * grain) as Units;
    stroke.fullTravel = strokes.cut.fullTravel[order] as Degrees;
  }
  return unpacked;
}

const openingsOf = ({ grain, openings }: PackedSection): OpeningEvent[] =>
  openings.start.map((start, index) => ({
    start: (start * grain) as Units,
    end: ((openings.end[index] as number) * grain) as Units,
    placement: openings.placement[index] as number,
  }));

const soundsOf = ({ grain, sounds }: PackedSection): SoundEvent[] =>
  sounds.start.map((start, index) => ({
    start: (start * grain) as Units,
    end: ((sounds.end[index] as number) * grain) as Units,
    direction: DIRECTION_OF[sounds.direction[index] as string] as SoundEvent["direction"],
    onset: ONSET_OF[sounds.onset[index] as string] as SoundEvent["onset"],
    from: sounds.from[index] as Degrees,
    to: sounds.to[index] as Degrees,
    placement: sounds.placement[index] as number,
  }));

const beatOf = ({ grain, beat }: PackedSection): BeatEvent[] =>
  beat.at.map((at, index) => ({
    at: (at * grain) as Units,
    key: beat.key[index] as number,
    velocity: beat.velocity[index] as number,
  }));

const placedOf = ({ grain, placed }: PackedSection): readonly PlacedEvent[] =>
  placed.map((one) => ({
    ...one,
    start: one.start * grain,
    end: one.end * grain,
    recordGroups: one.recordGroups.map((at) => at * grain),
    faderGroups: one.faderGroups.map((at) => at * grain),
  })) as unknown as readonly PlacedEvent[];

const starts = new Memory<SectionPerformance, readonly number[]>();
/** Where the sounds of a section that came packed start, without unpacking it. */
export const soundStarts = (section: SectionPerformance): readonly number[] =>
  starts.get(section) ?? section.sounds.map(({ start }) => start);

/**
 * The performance that was packed, equal in every value. Its events are unpacked when they are first asked for: of a
 * long routine most are never drawn.
 */
export function unpackSection(section: PackedSection): SectionPerformance {
  const strokes = once(() => strokesOf(section));
  const openings = once(() => openingsOf(section));
  const sounds = once(() => soundsOf(section));
  const beat = once(() => beatOf(section));
  const unpacked: SectionPerformance = {
    id: section.id,
    length: section.length as Units,
    bar: section.bar as Units,
    get strokes() {
      return strokes();
    },
    get openings() {
      return openings();
    },
    get sounds() {
      return sounds();
    },
    get beat() {
      return beat();
    },
    beatLength: section.beatLength as Units,
    beatPhase: section.beatPhase as Units,
    placed: placedOf(section),
  };
  starts.set(
    unpacked,
    section.sounds.start.map((start) => start * section.grain),
  );
  return unpacked;
}
