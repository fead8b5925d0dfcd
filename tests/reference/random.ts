/**
 * Random routines without errors, which use all that hands, fader and drawn beats do. What one player does is
 * drawn as one run of stretches over the whole routine, each given to the section it lies in or, as a pickup, to a
 * later one: so placements never overlap, whatever section owns them, and may still touch, interleave and cross.
 */
import fc from "fast-check";
import type {
  Beat,
  Cell,
  Pattern,
  Placement,
  Routine,
  Sample,
  Section,
  Stroke,
} from "../../schemas/routine.ts";
import { barOf, combinedLength, DEFAULT_SAMPLE, stepOf } from "./layout.ts";
import {
  dividedBy,
  earlier,
  floorDivide,
  inUnits,
  isWhole,
  modulo,
  parseRational,
  rational,
  times,
  unitsAsText,
} from "./rational.ts";

type Mutable<T> = { -readonly [K in keyof T]: T[K] extends readonly (infer I)[] ? I[] : T[K] };

/** Draws values: the only source of chance. */
export type Draw = <T>(arbitrary: fc.Arbitrary<T>) => T;
export function oneOf<const Values extends readonly unknown[]>(
  draw: Draw,
  ...values: Values
): Values[number] {
  return values[draw(fc.nat({ max: values.length - 1 }))];
}
const number = (draw: Draw, min: number, max: number) => draw(fc.integer({ min, max }));
/** True in about one of n draws; false is the simpler. */
export const oneIn = (draw: Draw, n: number) => draw(fc.nat({ max: n - 1 })) === n - 1;

const COMMON = ["1/16", "1/8", "1/4", "1/32", "1/24", "1/12", "1/20", "1/28", "1/36"];
const STEPS = [
  ...["1/4", "1/8", "1/16", "1/32", "1/64", "1/6", "1/12", "1/24", "1/48", "1/5", "1/10", "1/20", "1/40"],
  ...["1/7", "1/14", "1/28", "1/9", "1/18", "1/36", "1/11", "1/22", "1/44", "1/13", "1/26", "1/52"],
  ...["3/16", "2/9", "5/48", "1/1024", "1/27", "1/49", "1"],
];
const LENGTHS = [
  1,
  2,
  3,
  4,
  5,
  "1/2",
  "3/2",
  "2/3",
  "1/3",
  "5/4",
  "3/4",
  "7/5",
  "4/7",
  "11/9",
  "6/3",
  "5",
  "1/32",
  "1/64",
];
const METERS = ["4/4", "3/4", "7/8", "5/8", "6/8", "2/2", "5/16", "9/32", "2/4", "1/1", "11/16", "13/8"];
const TEMPI = [93, 120, 60, 97.5, 174, 20, 400, 133.33];
const PITCHES = [0, 2, -3.5, 50, -50, 8];
const TRAVELS = [45, 90, 30, 15, 120, 33.3, 360, 0.5, 3600];
const REPEATS = [360, 180, 90, 0, 100];

const step = (draw: Draw) => (oneIn(draw, 4) ? oneOf(draw, ...STEPS) : oneOf(draw, ...COMMON));
/** A step that is not so fine that a few bars of it take minutes. */
const slowStep = (draw: Draw) => {
  const drawn = step(draw);
  return drawn === "1/1024" ? "1/64" : drawn;
};

/** Whether so many steps, cut into equal parts, are whole numbers of units. */
const isExact = (length: number | string, stepText: string, parts = 1) =>
  isWhole(dividedBy(inUnits(times(parseRational(length), parseRational(stepText))), rational(parts)));

function lengthAndTimes(draw: Draw, stepText: string, maySplit: boolean) {
  const part: { length?: number | string; times?: number } = {};
  if (oneIn(draw, 3)) {
    const length = oneOf(draw, ...LENGTHS);
    if (isExact(length, stepText)) part.length = length;
  }
  if (maySplit && oneIn(draw, 5)) {
    const parts = oneOf(draw, 2, 3, 4, 5, 7, 1, 8);
    if (isExact(part.length ?? 1, stepText, parts)) part.times = parts;
  }
  return part;
}

function drawStroke(draw: Draw, stepText: string): Stroke {
  const move = oneOf(draw, "forward" as const, "back" as const, "hold" as const, "forward", "back");
  if (move === "hold") return { move, ...lengthAndTimes(draw, stepText, false) };
  if (move === "forward" && oneIn(draw, 6))
    return { move, shape: "released", ...lengthAndTimes(draw, stepText, false) };
  const stroke: Mutable<Stroke> = { move, ...lengthAndTimes(draw, stepText, true) };
  if (oneIn(draw, 3)) stroke.travel = oneOf(draw, ...TRAVELS);
  if (oneIn(draw, 3)) stroke.shape = oneOf(draw, "even" as const, "eased" as const);
  return stroke;
}

function drawCell(draw: Draw, stepText: string): Cell {
  const fader = oneOf(draw, "open" as const, "click" as const, "closed" as const, "pulse" as const, "click");
  if (fader === "open" || fader === "closed") return { fader, ...lengthAndTimes(draw, stepText, false) };
  const cell: Mutable<Cell> = { fader, ...lengthAndTimes(draw, stepText, true) };
  const part = dividedBy(parseRational(cell.length ?? 1), rational(cell.times ?? 1));
  const share = oneOf(draw, "1/2", "1/4", "1/3", "2/3", "3/4", "1/8");
  const { over, under } = times(part, parseRational(share));
  const written = under === 1n ? Number(over) : `${over}/${under}`;
  if (fader === "pulse") {
    if (oneIn(draw, 2) && isExact(written, stepText)) cell.openFor = written;
  } else if (oneIn(draw, 3)) {
    // A closure may reach back over several cells.
    const closedFor = oneIn(draw, 3) ? oneOf(draw, 1, 2, 3, "3/2", "5/2") : written;
    if (isExact(closedFor, stepText)) cell.closedFor = closedFor;
  }
  return cell;
}

/** Equal strokes under equal cells: phrases that have names, come round soon, and may be mirrored. */
function drawPlainPattern(draw: Draw, n: number): Pattern {
  const [recordStep, faderStep] = oneOf(
    draw,
    ["1/16", "1/16"],
    ["1/8", "1/16"],
    ["1/8", "1/8"],
    ["1/16", "1/32"],
  );
  const many = (max: number) => Array.from({ length: number(draw, 1, max) });
  const strokes = many(4).map(() => ({ move: oneOf(draw, "forward", "back", "forward", "back", "hold") }));
  const cells = oneOf(
    draw,
    [{ fader: "open" } as const],
    many(4).map(() => ({ fader: oneOf(draw, "open", "click", "closed") })),
  );
  return {
    id: `phrase-${n}`,
    record: { step: recordStep, strokes: oneIn(draw, 2) ? strokes : [{ move: "forward" }, { move: "back" }] },
    fader: { step: faderStep, cells },
  };
}

function drawPattern(draw: Draw, n: number): Pattern {
  if (oneIn(draw, 3)) return drawPlainPattern(draw, n);
  const [recordStep, faderStep] = [slowStep(draw), slowStep(draw)];
  const strokes = Array.from({ length: number(draw, 1, 6) }, () => drawStroke(draw, recordStep));
  const cells = Array.from({ length: number(draw, 1, 6) }, () => drawCell(draw, faderStep));
  return {
    id: `phrase-${n}`,
    ...(oneIn(draw, 2) ? { name: oneOf(draw, "Swell", "Gullwing ✈", "", 'Say "ahoy"') } : {}),
    record: { step: recordStep, strokes },
    fader: { step: faderStep, cells },
  };
}

function drawBeat(draw: Draw, n: number): Beat {
  const steps = number(draw, 1, 24);
  const keys = draw(fc.shuffledSubarray([36, 38, 42, 46, 36, 87], { minLength: 0, maxLength: 3 }));
  return {
    id: `beat-${n}`,
    ...(oneIn(draw, 2) ? { name: "Engine room" } : {}),
    step: slowStep(draw),
    steps,
    hits: keys.map((key) => ({
      key,
      at: draw(
        fc.shuffledSubarray(
          Array.from({ length: steps }, (_, at) => at),
          { maxLength: Math.min(steps, 6) },
        ),
      ),
      ...(oneIn(draw, 3) ? { velocity: number(draw, 1, 127) } : {}),
    })),
  };
}

function drawSample(draw: Draw, n: number): Sample {
  return {
    id: `sample-${n}`,
    builtIn: oneOf(
      draw,
      "vowel" as const,
      "stab" as const,
      "noise" as const,
      "tone" as const,
      "syllable" as const,
    ),
    ...(oneIn(draw, 2) ? { repeatsEvery: oneOf(draw, ...REPEATS) } : {}),
    ...(oneIn(draw, 2)
      ? {
          cues: [
            { id: "open", at: oneOf(draw, 30, -45, 0, 720.5) },
            { id: "far-end", at: 200 },
          ],
        }
      : {}),
  };
}

function drawSection(draw: Draw, n: number, beats: readonly Beat[], before: Section | undefined): Section {
  const bars = number(draw, 1, 4);
  const section: Mutable<Section> = {
    id: `section-${n}`,
    bars,
    meter: oneOf(draw, ...METERS),
    tempo: oneIn(draw, 3)
      ? { from: oneOf(draw, ...TEMPI), to: oneOf(draw, ...TEMPI) }
      : oneOf(draw, ...TEMPI),
    placements: [],
  };
  if (oneIn(draw, 3)) section.name = "Open water";
  if (beats.length > 0 && !oneIn(draw, 4)) {
    const again = before?.beat !== undefined && oneIn(draw, 2);
    section.beat = again ? before.beat! : oneOf(draw, ...beats).id;
    if (section.beat === before?.beat && oneIn(draw, 2)) section.beatContinues = true;
    if (oneIn(draw, 4)) section.beatRests = [number(draw, 1, bars)];
  }
  if (oneIn(draw, 2)) {
    section.swing = {
      of: slowStep(draw),
      ...(oneIn(draw, 2) ? { beat: oneOf(draw, 57, 66.67, 75, 50) } : {}),
      ...(oneIn(draw, 4) ? {} : { hands: oneOf(draw, 57, 66.67, 75, 50) }),
    };
  }
  if (oneIn(draw, 3)) section.pitch = oneOf(draw, ...PITCHES);
  return section;
}

interface Owned {
  readonly section: number;
  readonly placement: Placement;
}
interface Span {
  readonly start: bigint;
  readonly end: bigint;
  readonly bar: bigint;
}

/** What was last placed for the player: a pattern with its sample, or words; `end` null while it is open. */
interface Last {
  readonly sample: string | null;
  readonly end: bigint | null;
  readonly latestEnd: bigint;
}

/**
 * One player's placements over the whole routine, in order of time. Sections are given with starts from the first
 * section's own, so that its pickups lie below 0.
 */
function drawPlayer(
  draw: Draw,
  player: number,
  most: number,
  spans: readonly Span[],
  patterns: readonly Pattern[],
  samples: readonly Sample[],
): Owned[] {
  const owned: Owned[] = [];
  const end = spans.at(-1)!.end;
  const gap = () => stepOf(slowStep(draw)) * BigInt(number(draw, 1, 8));
  let cursor = oneIn(draw, 4) ? -gap() : oneIn(draw, 3) ? gap() : 0n;
  let last: Last | null = null;
  for (let n = 0; n < most; n++) {
    if (n > 0 && oneIn(draw, 4)) cursor += gap();
    if (cursor >= end) break;
    const start = cursor;
    const inside = start < 0n ? 0 : spans.findIndex((span) => start < span.end);
    // Before the first section only its own pickups may reach.
    const canPickUp = start >= 0n && inside < spans.length - 1 && oneIn(draw, 5);
    const section = canPickUp ? number(draw, inside + 1, spans.length - 1) : inside;
    const span = spans[section]!;
    const offset = start - span.start;
    const bar = Number(floorDivide(offset, span.bar)) + 1;
    if (bar < -999) break;
    const at = unitsAsText(modulo(offset, span.bar));
    const where = {
      bar,
      ...(at !== "0" || oneIn(draw, 4) ? { at } : {}),
      ...(player !== 1 || oneIn(draw, 4) ? { player } : {}),
    };
    const lastEnd: bigint | null = last === null ? null : (last.end ?? earlier(start, last.latestEnd));

    const asWords = oneIn(draw, 6) || patterns.length === 0;
    const pattern = asWords ? null : oneOf(draw, ...patterns);
    const [unit, length] = pattern
      ? oneOf(
          draw,
          ["bars", span.bar] as const,
          ["cycles", combinedLength(pattern)] as const,
          ["steps", stepOf(pattern.record.step)] as const,
        )
      : (["bars", span.bar] as const);
    const room = (span.end - start) / length;
    const many = BigInt(number(draw, 1, unit === "steps" ? 24 : 2));
    const count = many < room ? many : room;
    const closed = count > 0n && !oneIn(draw, 3);
    const lasts = closed ? { lasts: { [unit]: Number(count) } as never } : {};

    if (pattern === null) {
      owned.push({
        section,
        placement: { words: oneOf(draw, "Step back", "", "Let it ring"), ...where, ...lasts },
      });
    } else {
      const sample = oneOf(draw, ...samples);
      const cues = sample.cues ?? [];
      const carries = last !== null && lastEnd === start && last.sample === sample.id && oneIn(draw, 2);
      const positions: (number | string)[] = [0, 30, -90, 123.4, 1e4, ...cues.map(({ id }) => id)];
      owned.push({
        section,
        placement: {
          pattern: pattern.id,
          ...where,
          ...lasts,
          ...(oneIn(draw, 3) ? { recordFrom: number(draw, 0, pattern.record.strokes.length - 1) } : {}),
          ...(oneIn(draw, 3) ? { faderFrom: number(draw, 0, pattern.fader.cells.length - 1) } : {}),
          ...(sample !== samples[0] || oneIn(draw, 4) ? { sample: sample.id } : {}),
          ...(carries ? { carriesOn: true } : oneIn(draw, 2) ? { recordAt: oneOf(draw, ...positions) } : {}),
          ...(oneIn(draw, 6) ? { arrives: oneOf(draw, "cue" as const, "hand" as const) } : {}),
        },
      });
    }
    if (closed) {
      cursor = start + length * count;
      last = {
        sample: pattern ? idOfSample(owned.at(-1)!.placement, samples) : null,
        end: cursor,
        latestEnd: cursor,
      };
    } else {
      // Open: whatever starts next ends it, or its section does.
      const next = start + gap();
      cursor = oneIn(draw, 3) || next > span.end ? span.end : next;
      last = {
        sample: pattern ? idOfSample(owned.at(-1)!.placement, samples) : null,
        end: null,
        latestEnd: span.end,
      };
    }
  }
  return owned;
}

const idOfSample = (placement: Placement, samples: readonly Sample[]): string =>
  ("sample" in placement ? placement.sample : undefined) ?? samples[0]!.id;

export function drawRoutine(draw: Draw): Routine {
  const samples = oneIn(draw, 4)
    ? []
    : Array.from({ length: number(draw, 1, 3) }, (_, n) => drawSample(draw, n + 1));
  const patterns = Array.from({ length: number(draw, 1, 3) }, (_, n) => drawPattern(draw, n + 1));
  const beats = Array.from({ length: number(draw, 0, 2) }, (_, n) => drawBeat(draw, n + 1));
  const sections: Section[] = [];
  for (let n = number(draw, 1, 4); n > 0; n--)
    sections.push(drawSection(draw, sections.length + 1, beats, sections.at(-1)));

  const spans: Span[] = [];
  for (const { meter, bars } of sections) {
    const [start, bar] = [spans.at(-1)?.end ?? 0n, barOf(meter)];
    spans.push({ start, end: start + bar * BigInt(bars), bar });
  }
  const players = oneIn(draw, 3) ? [1, oneOf(draw, 2, 8)] : [1];
  const owned = players.flatMap((player) =>
    drawPlayer(
      draw,
      player,
      number(draw, 0, 8),
      spans,
      patterns,
      samples.length > 0 ? samples : [DEFAULT_SAMPLE],
    ),
  );
  const inAnyOrder = oneIn(draw, 3);
  const placements = inAnyOrder
    ? draw(fc.shuffledSubarray(owned, { minLength: owned.length, maxLength: owned.length }))
    : owned;

  const rig = {
    ...(oneIn(draw, 3) ? { platter: oneOf(draw, 33 as const, 45 as const, 78 as const) } : {}),
    ...(oneIn(draw, 4) ? { recordHand: oneOf(draw, "left" as const, "right" as const) } : {}),
    ...(oneIn(draw, 4) ? { turntable: oneOf(draw, "left" as const, "right" as const) } : {}),
    ...(oneIn(draw, 4) ? { reversedFader: draw(fc.boolean()) } : {}),
    ...(samples.length > 0 ? { samples } : {}),
    ...(oneIn(draw, 4)
      ? { limits: { speed: oneOf(draw, 2, 6, 0.5), changeSeconds: oneOf(draw, 0.5, 2) } }
      : {}),
  };
  return {
    format: "countercut-routine",
    version: 1,
    title: oneOf(draw, "Night Ferry", "Fähre 夜", ""),
    ...(oneIn(draw, 3) ? { timeLimit: oneOf(draw, 180, 1) } : {}),
    ...(Object.keys(rig).length > 0 || oneIn(draw, 4) ? { rig } : {}),
    patterns,
    beats,
    sections: sections.map((section, n) => ({
      ...section,
      placements: placements.filter((one) => one.section === n).map(({ placement }) => placement),
    })),
  };
}

/** Random routines without errors. */
export const routines: fc.Arbitrary<Routine> = fc
  .gen()
  .map((gen) => drawRoutine((arbitrary) => gen(() => arbitrary)));
