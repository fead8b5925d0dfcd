/**
 * The MIDI of a play, block by block beside its sound: the same strands as in the clips, at the frames where they are
 * heard, with MIDI Clock. At a start, a loop and each new take what holds from there on is told, and which clock of the
 * music comes next: so the page knows whether its clock goes on or has to be put elsewhere.
 */
import { COUNTING_IN, RESTING } from "../../schemas/soundBlock.ts";
import { type SoundFromServer } from "../../schemas/soundWire.ts";
import { UNITS_PER_QUARTER } from "../../schemas/units.ts";
import { CLOCK } from "../clips/events.ts";
import { CLOCKS, LIVE_PPQ, liveWindow } from "../clips/liveWindow.ts";
import type { Making } from "../clips/making.ts";
import { RATE } from "../sound/rate.ts";
import type { Piece, Rendered } from "./program.ts";

/** A clock stands every so many units. */
const PER_CLOCK = UNITS_PER_QUARTER / CLOCKS;

type MidiMessage = Extract<SoundFromServer, { type: "midi" }>;

export class MidiLine {
  readonly #making: (piece: Piece) => Making;
  /** The block before: what follows from it is no leap. */
  #last: {
    readonly piece: Piece;
    readonly take: number;
    readonly frame: number;
    readonly position: number;
  } | null = null;
  #silent = true;

  /** @param making at LIVE_PPQ */
  constructor(making: (piece: Piece) => Making) {
    this.#making = making;
  }

  /** @returns null while counting in and resting, once that is told */
  ofBlock(play: number, take: number, first: number, block: Rendered): MidiMessage | null {
    const { frames, piece, speed, flags } = block;
    const told = { type: "midi" as const, play, take, first, frames };
    if ((flags & (COUNTING_IN | RESTING)) !== 0) {
      this.#last = null;
      if (this.#silent) return null;
      this.#silent = true;
      return { ...told, events: [], state: { on: [], set: [], rest: [], clock: null } };
    }
    this.#silent = false;
    const making = this.#making(piece);
    const seconds = (block.routineFrame * speed) / RATE;
    const last = this.#last;
    // To a whole unit, so that what stands exactly at a start is not a hair before it.
    const positionAt = (time: number): number => Math.round(piece.timeline.positionAt(time));
    const found = positionAt(seconds);
    // Where it goes on, from just where the block before ended: nothing twice, nothing left out.
    const goesOn =
      last !== null &&
      last.piece === piece &&
      last.take === take &&
      last.frame === first &&
      Math.abs(last.position - found) < PER_CLOCK / 1000;
    const from = goesOn ? last.position : found;
    const to = positionAt(seconds + (frames * speed) / RATE);
    this.#last = { piece, take, frame: first + frames, position: to };
    const frameAt = (position: number): number =>
      first + ((piece.timeline.secondsAt(position, "straight") - seconds) * RATE) / speed;

    const events: number[] = [];
    for (const [position, message] of between(making, from, to))
      events.push(Math.round(frameAt(position) * 100) / 100, message);
    return { ...told, events, state: goesOn ? null : stateAt(making, from) };
  }
}

/** Messages at positions from `from` to `to`, the latter not included. */
function* between(making: Making, from: number, to: number): Generator<[position: number, message: number]> {
  for (const window of making.windows) {
    if (window.to <= from || window.from >= to) continue;
    const { ticks, messages } = liveWindow(making, window);
    const units = UNITS_PER_QUARTER / LIVE_PPQ;
    for (let at = firstFrom(ticks, (from - window.from) / units); at < ticks.length; at++) {
      const position = window.from + (ticks[at] as number) * units;
      if (position >= to) break;
      yield [position, messages[at] as number];
    }
  }
}

function firstFrom(ticks: Float64Array, tick: number): number {
  let low = 0;
  let high = ticks.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((ticks[middle] as number) >= tick) high = middle;
    else low = middle + 1;
  }
  return low;
}

/** What holds at a position: each window sets all at its start, so that it is found within one. */
function stateAt(making: Making, position: number): NonNullable<MidiMessage["state"]> {
  const on = new Map<number, number>();
  const set = new Map<number, number>();
  const window = making.windows.findLast(({ from }) => from <= position);
  if (window !== undefined) {
    for (const [, message] of between(making, window.from, position)) {
      if (message === CLOCK) continue;
      const status = message & 0xf0;
      // A controller's number is part of what it is; a bend has none.
      const slot = status === 0xe0 ? message & 0xff : message & 0xffff;
      if (status === 0x90) on.set(slot, message);
      else if (status === 0x80) on.delete(slot | 0x10);
      else set.set(slot, message);
    }
  }
  const clock = Math.ceil(position / PER_CLOCK);
  return { on: [...on.values()], set: [...set.values()], rest: restOf(making), clock };
}

/** The fader open, the record still, as a DAW's channel is before anything is sent. */
function restOf({ encoding: { record, fader } }: Making): number[] {
  const rest: number[] = [];
  const channel = record.channel - 1;
  if (record.written && record.bend) rest.push(0xe0 | channel | (64 << 16));
  if (record.written && record.speed !== "none") rest.push(0xb0 | channel | (record.speed << 8) | (64 << 16));
  if (fader.written && fader.controller !== "none")
    rest.push(0xb0 | (fader.channel - 1) | (fader.controller << 8) | (fader.open << 16));
  return rest;
}
