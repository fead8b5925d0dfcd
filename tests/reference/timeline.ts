/**
 * A second reading of the compiled timeline, slow and obvious, from the routine to what `countercut timeline`
 * prints. Every placement of the whole routine is laid out on one line of time and judged there; nothing is
 * remembered and nothing is handed from section to section.
 */
import type { PatternPlacement, Routine } from "../../schemas/routine.ts";
import { done, type Move, movesOf, openingsOf, partOf, type Stretch } from "./hands.ts";
import {
  beatLength,
  type LaidPlacement,
  type LaidSection,
  type Layout,
  layOut,
  patternOf,
  platterSpeed,
  sampleOf,
  secondsAt,
  stepOf,
} from "./layout.ts";
import { earlier, later } from "./rational.ts";

export interface PlayedStroke extends Stretch {
  readonly direction: "forward" | "back" | "hold";
  readonly from: number;
  readonly to: number;
}
export interface PlayedSound extends Stretch {
  readonly direction: "forward" | "back";
  readonly onset: "cut" | "turn" | "restart" | "from-rest";
  readonly from: number;
  readonly to: number;
}
/** A placement as it is played; of words only the stretch of time is there. */
export interface Played {
  readonly laid: LaidPlacement;
  readonly strokes: readonly PlayedStroke[];
  readonly openings: readonly Stretch[];
  readonly sounds: readonly PlayedSound[];
  /** Degrees where the record starts and is left. */
  readonly from: number;
  readonly to: number;
}

const before = (a: bigint, b: bigint) => (a < b ? -1 : a > b ? 1 : 0);

/** The placement of the same player that ends exactly where this one starts. */
export function rightBefore(played: readonly Played[], laid: LaidPlacement): Played | undefined {
  return played.find((other) => other.laid.player === laid.player && other.laid.end === laid.start);
}

/** Every placement, in order of its start. */
export function play(routine: Routine, layout: Layout): Played[] {
  const played: Played[] = [];
  for (const laid of [...layout.placements].sort((a, b) => before(a.start, b.start)))
    played.push(playOne(routine, layout, laid, rightBefore(played, laid)));
  return played;
}

function playOne(routine: Routine, layout: Layout, laid: LaidPlacement, previous?: Played): Played {
  const pattern = patternOf(routine, laid.placement);
  if (pattern === null) return { laid, strokes: [], openings: [], sounds: [], from: 0, to: 0 };
  const placement = laid.placement as PatternPlacement;
  const speed = platterSpeed(routine, laid.section);
  const from = startingDegrees(routine, placement, previous);

  const signedTravel = (move: Move, at: bigint): number => {
    if (move.direction === "hold") return 0;
    if (move.stroke.shape === "released")
      return (secondsAt(layout, at, "hands") - secondsAt(layout, move.start, "hands")) * speed;
    const part = done(move.stroke.shape ?? "eased", partOf(move, at));
    return (move.direction === "back" ? -1 : 1) * (move.stroke.travel ?? 45) * part;
  };

  const openings = openingsOf(pattern.fader, placement.faderFrom ?? 0, laid.start, laid.end);
  const strokes: PlayedStroke[] = [];
  const sounds: PlayedSound[] = [];
  let stands = from;
  for (const move of movesOf(pattern.record, placement.recordFrom ?? 0, laid.start, laid.end)) {
    const end = earlier(move.end, laid.end);
    for (const opening of openings) {
      const soundStart = later(opening.start, move.start);
      const soundEnd = earlier(opening.end, end);
      if (move.direction === "hold" || soundStart >= soundEnd) continue;
      sounds.push({
        start: soundStart,
        end: soundEnd,
        direction: move.direction,
        onset: onsetOf(soundStart, move.direction, laid, strokes, openings, previous),
        from: stands + signedTravel(move, soundStart),
        to: stands + signedTravel(move, soundEnd),
      });
    }
    const to = stands + signedTravel(move, end);
    strokes.push({ start: move.start, end, direction: move.direction, from: stands, to });
    stands = to;
  }
  return { laid, strokes, openings, sounds, from, to: stands };
}

function startingDegrees(routine: Routine, placement: PatternPlacement, previous?: Played): number {
  if (placement.carriesOn) {
    if (!previous || "words" in previous.laid.placement) throw new Error("nothing to carry on");
    return previous.to;
  }
  const at = placement.recordAt ?? 0;
  if (typeof at === "number") return at;
  const cue = sampleOf(routine, placement)?.cues?.find(({ id }) => id === at);
  if (!cue) throw new Error(`no cue ${at}`);
  return cue.at;
}

function onsetOf(
  at: bigint,
  direction: "forward" | "back",
  laid: LaidPlacement,
  strokes: readonly PlayedStroke[],
  openings: readonly Stretch[],
  previous?: Played,
): PlayedSound["onset"] {
  const wasOpen =
    openings.some(({ start, end }) => start < at && at <= end) ||
    (at === laid.start && previous !== undefined && previous.openings.some(({ end }) => end === at));
  if (!wasOpen) return "cut";
  const ended = at === laid.start ? previous?.strokes.at(-1) : strokes.find(({ end }) => end === at);
  if (ended === undefined || ended.direction === "hold") return "from-rest";
  return ended.direction === direction ? "restart" : "turn";
}

/** Beat hits of a section, in units from the start of the routine. */
function beatOf(routine: Routine, sections: readonly LaidSection[], n: number) {
  const laid = sections[n]!;
  const beat = routine.beats.find(({ id }) => id === laid.section.beat);
  if (beat === undefined) return [];
  // The section in which the loop last started anew.
  let origin = n;
  while (sections[origin]!.section.beatContinues) origin--;
  const length = beatLength(beat);
  const hits: { at: bigint; key: number; velocity: number }[] = [];
  for (let loop = sections[origin]!.start; loop < laid.end; loop += length)
    for (const hit of beat.hits)
      for (const step of hit.at) {
        const at = loop + BigInt(step) * stepOf(beat.step);
        if (at < laid.start || at >= laid.end) continue;
        const bar = (at - laid.start) / laid.bar + 1n;
        if (laid.section.beatRests?.includes(Number(bar))) continue;
        hits.push({ at, key: hit.key, velocity: hit.velocity ?? 100 });
      }
  return hits
    .sort((a, b) => before(a.at, b.at) || a.key - b.key)
    .map((hit) => ({ ...hit, at: Number(hit.at) }));
}

/** What `countercut timeline` prints, as a value. */
export function referenceTimeline(routine: Routine) {
  const layout = layOut(routine);
  const played = play(routine, layout);
  return {
    unitsPerQuarter: 1210809600,
    sections: layout.sections.map((laid, n) => {
      const own = played.filter((one) => one.laid.section === n).sort((a, b) => a.laid.index - b.laid.index);
      const listed = <T extends Stretch>(pick: (one: Played) => readonly T[]) =>
        own
          .flatMap((one) => pick(one).map((event) => ({ ...event, placement: one.laid.index })))
          .sort((a, b) => before(a.start, b.start) || a.placement - b.placement)
          .map((event) => ({ ...event, start: Number(event.start), end: Number(event.end) }));
      return {
        id: laid.section.id,
        start: Number(laid.start),
        end: Number(laid.end),
        startSeconds: laid.startSeconds,
        endSeconds: laid.endSeconds,
        sounds: listed((one) => one.sounds),
        strokes: listed((one) => one.strokes),
        openings: listed((one) => one.openings),
        beat: beatOf(routine, layout.sections, n),
      };
    }),
  };
}
