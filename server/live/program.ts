/**
 * What a play is about to sound: a line of PARTS, each from a frame of the play on. A part is a renderer and where it
 * is read; when something changes, a new part begins. Pure: no socket, no clock.
 */
import type { Performance } from "../../schemas/performance.ts";
import type { Routine } from "../../schemas/routine.ts";
import { COUNTING_IN, LAST, LEAPT, type LoopRange, type Place } from "../../schemas/soundWire.ts";
import { countIn } from "../sound/countin.ts";
import { clicksFor } from "./soundBank.ts";
import { loopOf } from "../sound/loop.ts";
import { RATE } from "../sound/rate.ts";
import { type Channels, createRenderer } from "../sound/render.ts";
import type { Sounds } from "../sound/score.ts";
import { meterOf } from "../time/meter.ts";
import { type Timeline, timelineOf } from "../time/timeline.ts";

/** A routine as it is to be heard. */
export interface Piece {
  readonly routine: Routine;
  readonly performance: Performance;
  readonly timeline: Timeline;
  readonly rev: number;
}

export const pieceOf = (routine: Routine, performance: Performance, rev: number): Piece => ({
  routine,
  performance,
  timeline: timelineOf(routine.sections, performance.sections),
  rev,
});

/** How it is played. */
export interface Manner {
  readonly speed: number;
  readonly loop: LoopRange | null;
  readonly player: number | undefined;
}

/** Units from the start of the routine; null where the place's section is not there any more. */
export function positionOf({ performance }: Piece, { section, at }: Place): number | null {
  const found = performance.sections.find((one) => one.performance.id === section);
  return found === undefined ? null : Math.max(0, found.start + at);
}

/** Where in the routine a position lies. */
export function placeOf({ performance, timeline }: Piece, position: number): Place & { index: number } {
  const index = timeline.sectionAt(position);
  const { start, performance: section } = performance.sections[index] as Performance["sections"][number];
  return { section: section.id, at: position - start, index };
}

/** One renderer in the line. `from` is a frame of the play. */
interface Part {
  readonly from: number;
  /** Not included; Infinity where it goes on. */
  readonly to: number;
  readonly piece: Piece;
  readonly speed: number;
  readonly renderer: { block(start: number, frames: number, out: Channels): void };
  /** Frame of the renderer at frame `from`. */
  readonly offset: number;
  /** Frame of the routine (at this speed) at a frame of the renderer. */
  readonly routineFrame: (frame: number) => number;
  /** First frame of the renderer after `frame` at which a loop leaps back; Infinity where it does not. */
  readonly nextLeap: (frame: number) => number;
  readonly countingIn: boolean;
}

/** A block of the play, rendered. */
export interface Rendered {
  readonly frames: number;
  readonly flags: number;
  readonly rev: number;
  readonly section: number;
  readonly at: number;
  readonly atEnd: number;
  readonly routineFrame: number;
}

const framesAt = ({ timeline }: Piece, position: number, speed: number): number =>
  (timeline.secondsAt(position, "straight") * RATE) / speed;

const never = (): number => Number.POSITIVE_INFINITY;

export class Program {
  #parts: Part[] = [];

  /** Frame at which the play ends, not included; Infinity in a loop. */
  get end(): number {
    return this.#parts.at(-1)?.to ?? 0;
  }

  /**
   * From frame `at` of the play on, the piece is heard from `position`; what was planned after that is dropped.
   * @param bars bars to count in first
   */
  go(at: number, piece: Piece, position: number, manner: Manner, sounds: Sounds, bars = 0): void {
    this.#parts = this.#parts
      .filter(({ from }) => from < at)
      .map((part) => ({ ...part, to: Math.min(part.to, at) }));
    let from = at;
    if (bars > 0) {
      const counted = countedIn(piece, position, bars, manner.speed, sounds);
      this.#parts.push({
        from,
        to: from + counted.frames,
        piece,
        speed: manner.speed,
        renderer: counted,
        offset: 0,
        routineFrame: () => framesAt(piece, position, manner.speed),
        nextLeap: never,
        countingIn: true,
      });
      from += counted.frames;
    }
    this.#parts.push(partOf(from, piece, position, manner, sounds));
  }

  /** What is heard at a frame of the play. */
  #partAt(frame: number): Part | undefined {
    return this.#parts.findLast(({ from, to }) => from <= frame && frame < to);
  }

  /** Units from the routine's start of what is heard at a frame of the play; null after the end. */
  positionAt(
    frame: number,
  ): { readonly piece: Piece; readonly position: number; readonly countingIn: boolean } | null {
    const part = this.#partAt(frame);
    if (part === undefined) return null;
    const { piece, countingIn } = part;
    return { piece, position: positionIn(part, frame), countingIn };
  }

  /** Frames of the play at which the music reaches a position next, not before `frame`; null where it does not. */
  frameOf(frame: number, position: number): number | null {
    const part = this.#partAt(frame);
    if (part === undefined) return null;
    const here = part.routineFrame(part.offset + frame - part.from);
    const ahead = Math.round(framesAt(part.piece, position, part.speed) - here);
    return ahead < 0 ? null : frame + ahead;
  }

  /** The frame after `frame` at which the loop leaps; Infinity where there is none. */
  leapAfter(frame: number): number {
    const part = this.#partAt(frame);
    if (part === undefined) return Number.POSITIVE_INFINITY;
    return part.nextLeap(part.offset + frame - part.from) - part.offset + part.from;
  }

  /** Renders at most `most` frames from `start`, up to the next seam of parts or loops; null after the end. */
  render(start: number, most: number, out: Channels): Rendered | null {
    const part = this.#partAt(start);
    if (part === undefined) return null;
    const inner = part.offset + start - part.from;
    const leap = part.nextLeap(inner);
    const frames = Math.min(most, part.to - start, leap - inner);
    part.renderer.block(inner, frames, out);
    const { piece } = part;
    const { index } = placeOf(piece, positionIn(part, start));
    const base = (piece.performance.sections[index] as Performance["sections"][number]).start;
    const leapt = !part.countingIn && part.nextLeap(inner - 1) === inner && start > part.from;
    const last = start + frames >= this.end;
    const routineFrame = part.routineFrame(inner);
    const seconds = ((routineFrame + (part.countingIn ? 0 : frames)) * part.speed) / RATE;
    return {
      frames,
      flags: (part.countingIn ? COUNTING_IN : 0) | (leapt ? LEAPT : 0) | (last ? LAST : 0),
      rev: piece.rev,
      section: index,
      at: positionIn(part, start) - base,
      atEnd: piece.timeline.positionAt(seconds) - base,
      routineFrame,
    };
  }

  /** While it counts in at frame `at`: has what follows the count made anew. */
  replaceAfterCountIn(at: number, make: (from: number, position: number) => void): void {
    const part = this.#partAt(at);
    if (part?.countingIn !== true) return;
    make(part.to, positionIn(part, part.to));
  }

  /** Forgets what was heard before a frame. */
  forget(before: number): void {
    this.#parts = this.#parts.filter(({ to }) => to > before);
  }
}

function positionIn(part: Part, frame: number): number {
  const seconds = (part.routineFrame(part.offset + frame - part.from) * part.speed) / RATE;
  return part.piece.timeline.positionAt(Math.max(0, seconds));
}

function countedIn(piece: Piece, position: number, bars: number, speed: number, sounds: Sounds) {
  const { index } = placeOf(piece, position);
  const section = piece.routine.sections[index] as Routine["sections"][number];
  const { upper, lower } = meterOf(section);
  const beatFrames = ((60 / piece.timeline.tempoAt(position)) * (4 / lower) * RATE) / speed;
  // A count-in is asked for, so it is heard even where the metronome is off.
  return countIn(
    bars * upper,
    upper,
    beatFrames,
    sounds.clicks.bar === null ? clicksFor({ beat: true, record: false, fader: false }) : sounds.clicks,
  );
}

function partOf(from: number, piece: Piece, position: number, manner: Manner, sounds: Sounds): Part {
  const { speed, loop, player } = manner;
  const options = player === undefined ? { speed } : { speed, player };
  const renderer = createRenderer(piece.routine, piece.performance, piece.timeline, sounds, options);
  const start = framesAt(piece, position, speed);
  const common = { from, piece, speed, countingIn: false };
  const range = loop === null ? null : rangeOf(piece, loop);
  if (range === null) {
    const offset = Math.round(start);
    return {
      ...common,
      to: from + Math.max(1, renderer.frames - offset),
      renderer,
      offset,
      routineFrame: (frame) => frame,
      nextLeap: never,
    };
  }
  const [first, length] = [
    framesAt(piece, range.from, speed),
    framesAt(piece, range.to, speed) - framesAt(piece, range.from, speed),
  ];
  const looped = loopOf(renderer, first, Math.max(1, length));
  // A place outside the range begins the loop at its start.
  const inside = position >= range.from && position < range.to;
  return {
    ...common,
    to: Number.POSITIVE_INFINITY,
    renderer: looped,
    offset: inside ? Math.round(start - first) : 0,
    routineFrame: (frame) => looped.innerFrame(frame),
    nextLeap: (frame) => nextRound(looped, frame, length),
  };
}

function nextRound(loop: ReturnType<typeof loopOf>, frame: number, length: number): number {
  let round = Math.max(0, Math.floor(frame / length));
  while (loop.roundStart(round) <= frame) round++;
  return loop.roundStart(round);
}

/** null where an end of it is not there any more, or nothing lies between. */
function rangeOf(piece: Piece, loop: LoopRange): { from: number; to: number } | null {
  const [from, to] = [positionOf(piece, loop.from), positionOf(piece, loop.to)];
  if (from === null || to === null) return null;
  const end = Math.min(to, piece.performance.end);
  return end > from ? { from, to: end } : null;
}
