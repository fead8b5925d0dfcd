/**
 * The MIDI of a play, block by block beside its sound: the same strands as in the clips, at the frames where they are
 * heard. Where the music leaps (a start, a loop, an edit), what holds from there on is told, and Song Position with
 * Continue, or Start at the routine's own start.
 */
import { COUNTING_IN, RESTING, type SoundFromServer } from "../../schemas/soundWire.ts";
import { UNITS_PER_QUARTER } from "../../schemas/units.ts";
import { CLOCK } from "../clips/events.ts";
import { LIVE_PPQ, liveWindow } from "../clips/liveWindow.ts";
import type { Making } from "../clips/making.ts";
import { RATE } from "../sound/rate.ts";
import type { Piece, Rendered } from "./program.ts";

const START = 0xfa;
const CONTINUE = 0xfb;
const SONG_POSITION = 0xf2;
/** Song Position counts sixteenths in 14 bits. */
const SIXTEENTH = UNITS_PER_QUARTER / 4;
const FURTHEST = 16_383;

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
  /** Where Continue or Start is due (units), and which. */
  #due: { readonly at: number; readonly message: number } | null = null;
  #silent = true;

  /** @param making at LIVE_PPQ */
  constructor(making: (piece: Piece) => Making) {
    this.#making = making;
  }

  /** @returns null where there is nothing to tell */
  ofBlock(play: number, take: number, first: number, block: Rendered): MidiMessage | null {
    const { frames, piece, speed, flags } = block;
    const told = { type: "midi" as const, play, take, first, frames };
    if ((flags & (COUNTING_IN | RESTING)) !== 0) {
      this.#last = null;
      if (this.#silent) return null;
      this.#silent = true;
      return { ...told, events: [], state: { on: [], set: [], rest: [] } };
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
      Math.abs(last.position - found) < SIXTEENTH / 1000;
    const from = goesOn ? last.position : found;
    const to = positionAt(seconds + (frames * speed) / RATE);
    this.#last = { piece, take, frame: first + frames, position: to };
    const frameAt = (position: number): number =>
      first + ((piece.timeline.secondsAt(position, "straight") - seconds) * RATE) / speed;

    const events: number[] = [];
    const add = (position: number, message: number): void => {
      events.push(Math.round(frameAt(position) * 100) / 100, message);
    };
    const state = goesOn ? null : stateAt(making, from);
    if (!goesOn) {
      const sixteenths = Math.ceil(from / SIXTEENTH - 1e-6);
      this.#due =
        sixteenths > FURTHEST
          ? null
          : { at: sixteenths * SIXTEENTH, message: sixteenths === 0 ? START : CONTINUE };
      if (sixteenths > 0 && sixteenths <= FURTHEST)
        add(from, SONG_POSITION | ((sixteenths & 127) << 8) | ((sixteenths >> 7) << 16));
    }
    for (const [position, message] of between(making, from, to)) {
      // Before the clock that stands at the same place.
      if (this.#due !== null && position >= this.#due.at - 1) {
        add(Math.max(from, this.#due.at), this.#due.message);
        this.#due = null;
      }
      add(position, message);
    }
    return events.length === 0 && state === null ? null : { ...told, events, state };
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
  return { on: [...on.values()], set: [...set.values()], rest: restOf(making) };
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
