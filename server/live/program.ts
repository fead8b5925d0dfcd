/**
 * What a play is about to sound: a line of PARTS, each from a frame of the play on. A part is a renderer and where it
 * is read; when something changes, a new part begins. Pure: no socket, no clock.
 */
import type { Performance } from "../../schemas/performance.ts";
import type { Routine } from "../../schemas/routine.ts";
import { COUNTING_IN, LAST, LEAPT, RESTING } from "../../schemas/soundBlock.ts";
import type { CountIn, LoopRange, Place } from "../../schemas/soundWire.ts";
import { UNITS_PER_QUARTER } from "../../schemas/units.ts";
import { countIn } from "../sound/countin.ts";
import type { Sounds } from "../sound/inFrames.ts";
import { loopOf } from "../sound/loop.ts";
import { RATE } from "../sound/rate.ts";
import { type Channels, clear, createRenderer } from "../sound/render.ts";
import { meterOf } from "../time/meter.ts";
import { type Timeline, timelineOf } from "../time/timeline.ts";
import { clicksFor } from "../sound/clicksFor.ts";

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
  /** Where it ends, of a round; the routine's end where left out. */
  readonly until?: Place;
  /** Nothing is heard. */
  readonly silent?: boolean;
}

const NO_COUNT: CountIn = { count: 0, by: "bar" };

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
  /** COUNTING_IN, RESTING, or 0 where the music moves. */
  readonly mark: number;
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
  /** What was rendered, and how fast. */
  readonly piece: Piece;
  readonly speed: number;
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
   * @param count clicks to count in first
   */
  go(
    at: number,
    piece: Piece,
    position: number,
    manner: Manner,
    sounds: Sounds,
    lead: CountIn = NO_COUNT,
  ): void {
    this.cut(at);
    let from = at;
    if (lead.count > 0) {
      const counted = countedIn(piece, position, lead, manner.speed, sounds);
      this.#parts.push({
        from,
        to: from + counted.frames,
        piece,
        speed: manner.speed,
        renderer: counted,
        offset: 0,
        routineFrame: () => framesAt(piece, position, manner.speed),
        nextLeap: never,
        mark: COUNTING_IN,
      });
      from += counted.frames;
    }
    this.#parts.push(partOf(from, piece, position, manner, sounds));
  }

  /** What was planned from a frame on is dropped. */
  cut(at: number): void {
    this.#parts = this.#parts
      .filter(({ from }) => from < at)
      .map((part) => ({ ...part, to: Math.min(part.to, at) }));
  }

  /** After all that is planned: nothing is heard for some frames, but the last sound dying away. */
  rest(frames: number, position: number): void {
    const last = this.#parts.at(-1);
    if (last === undefined || frames <= 0) return;
    this.#parts.push({
      ...last,
      from: last.to,
      to: last.to + frames,
      renderer: dyingAway(last.renderer, last.offset + last.to - last.from),
      offset: 0,
      routineFrame: () => framesAt(last.piece, position, last.speed),
      nextLeap: never,
      mark: RESTING,
    });
  }

  /** What is heard at a frame of the play. */
  #partAt(frame: number): Part | undefined {
    return this.#parts.findLast(({ from, to }) => from <= frame && frame < to);
  }

  /** Units from the routine's start of what is heard at a frame of the play; null after the end. */
  positionAt(
    frame: number,
  ): { readonly piece: Piece; readonly position: number; readonly mark: number } | null {
    const part = this.#partAt(frame);
    if (part === undefined) return null;
    const { piece, mark } = part;
    return { piece, position: positionIn(part, frame), mark };
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

  /**
   * Renders at most `most` frames from `start`, up to the next seam of parts or loops; null after the end.
   * @param heard what ends by this frame is passed over: `out` stays as it was
   */
  render(start: number, most: number, out: Channels, heard: number): Rendered | null {
    const part = this.#partAt(start);
    if (part === undefined) return null;
    const inner = part.offset + start - part.from;
    const leap = part.nextLeap(inner);
    const frames = Math.min(most, part.to - start, leap - inner);
    if (start + frames > heard) part.renderer.block(inner, frames, out);
    const { piece } = part;
    const { index } = placeOf(piece, positionIn(part, start));
    const base = (piece.performance.sections[index] as Performance["sections"][number]).start;
    const leapt = part.mark === 0 && part.nextLeap(inner - 1) === inner && start > part.from;
    const last = start + frames >= this.end;
    const routineFrame = part.routineFrame(inner);
    const seconds = ((routineFrame + (part.mark === 0 ? frames : 0)) * part.speed) / RATE;
    return {
      frames,
      flags: part.mark | (leapt ? LEAPT : 0) | (last ? LAST : 0),
      rev: piece.rev,
      section: index,
      at: positionIn(part, start) - base,
      atEnd: piece.timeline.positionAt(seconds) - base,
      routineFrame,
      piece,
      speed: part.speed,
    };
  }

  /** While it counts in at frame `at`: has what follows the count made anew. */
  replaceAfterCountIn(at: number, make: (from: number, position: number) => void): void {
    const part = this.#partAt(at);
    if (part?.mark !== COUNTING_IN) return;
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

function countedIn(piece: Piece, position: number, { count, by }: CountIn, speed: number, sounds: Sounds) {
  const { index, at } = placeOf(piece, position);
  const section = piece.routine.sections[index] as Routine["sections"][number];
  const { upper, beat } = meterOf(section);
  const group = by === "bar" || by === "beat" ? null : groupAt(piece, index, at, by);
  const frames =
    (((group ?? beat) / UNITS_PER_QUARTER) * (60 / piece.timeline.tempoAt(position)) * RATE) / speed;
  // A count-in is asked for, so it is heard even where the metronome is off.
  return countIn(
    by === "bar" ? count * upper : count,
    group === null ? upper : count,
    frames,
    sounds.clicks.bar === null ? clicksFor({ beat: true, record: false, fader: false }) : sounds.clicks,
  );
}

/** Units of a hand's group in the placement that is played at, or first after, a place; null where there is none. */
function groupAt(piece: Piece, index: number, at: number, hand: "record" | "fader"): number | null {
  const section = piece.performance.sections[index] as Performance["sections"][number];
  const placed = section.performance.placed.find(({ pattern, end }) => pattern !== null && end > at);
  const groups = (hand === "record" ? placed?.recordGroups : placed?.faderGroups) ?? [];
  const [first, second] = groups;
  return first === undefined || second === undefined ? null : second - first;
}

/** Frames in which the end of a round dies away: 10 ms. */
const DYING = 480;

/** What a renderer would have gone on with at `from`, fading, and then nothing. */
function dyingAway(inner: Part["renderer"], from: number): Part["renderer"] {
  return {
    block(start, frames, out) {
      const left = Math.min(frames, Math.max(0, DYING - start));
      if (left > 0) inner.block(from + start, left, out);
      for (let i = 0; i < left; i++) {
        const part = 1 - (start + i) / DYING;
        for (const channel of [out.scratch, out.others, out.beat, out.clicks])
          for (const side of channel) side[i] = side[i]! * part;
      }
      clear(out, left, frames);
    },
  };
}

function partOf(from: number, piece: Piece, position: number, manner: Manner, sounds: Sounds): Part {
  const { speed, loop, player } = manner;
  const options = player === undefined ? { speed } : { speed, player };
  const heard = createRenderer(piece.routine, piece.performance, piece.timeline, sounds, options);
  const renderer = manner.silent === true ? { ...heard, block: silent } : heard;
  const start = framesAt(piece, position, speed);
  const common = { from, piece, speed, mark: 0 };
  const range = loop === null ? null : rangeOf(piece, loop);
  if (range === null) {
    const offset = Math.round(start);
    const until = manner.until === undefined ? null : positionOf(piece, manner.until);
    const end = until === null ? renderer.frames : Math.round(framesAt(piece, until, speed));
    return {
      ...common,
      to: from + Math.max(1, Math.min(renderer.frames, end) - offset),
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

const silent = (_start: number, frames: number, out: Channels): void => clear(out, 0, frames);

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
