/**
 * MIDI on its way out: what the server told for the frames to come, held back until shortly before each is heard, so
 * that an edit can still take its place. No port and no clock in here: both are given.
 */
import type { SoundFromServer } from "../../schemas/soundWire.ts";
import { SongClock } from "./songClock.ts";

export type MidiTold = Extract<SoundFromServer, { type: "midi" }>;
type State = NonNullable<MidiTold["state"]>;

/**
 * Milliseconds before it is heard that a message is handed to the port. What was handed over cannot be changed by an
 * edit or a stop, so it is little where the page has time; where it stood still, it is that much more from then on, and
 * falls again by a millisecond a second.
 */
export const HORIZON = 60;
export const FURTHEST = 400;
const FALLS = 0.001;

const NOTE_ON = 0x90;
const NOTE_OFF = 0x80;
const CLOCK = 0xf8;
const BEND = 0xe0;
/** By MIDI 1.0, a receiver that got it once silences all when nothing comes for 300 ms: so a crash leaves no note on. */
const ACTIVE_SENSING = 0xfe;
const SENSING_EVERY = 200;

const kind = (message: number): number => message & 0xf0;
/** Channel and key of a note. */
const slotOf = (message: number): number => (message & 0x0f) | (message & 0xff00);
const offOf = (slot: number): number => NOTE_OFF | slot | (64 << 16);
/** Channel and controller; a bend has no number. */
const knobOf = (message: number): number => message & (kind(message) === BEND ? 0xff : 0xffff);

/** Its one to three bytes. */
export function bytesOf(message: number): number[] {
  const status = message & 0xff;
  if (status >= 0xf4) return [status];
  return [status, (message >> 8) & 127, (message >> 16) & 127];
}

export type Send = (bytes: number[], time: number) => void;

export class MidiLine {
  readonly #send: Send;
  readonly #song = new SongClock((message, time) => this.#out(message, time));
  #take = 0;
  #queue: { readonly frame: number; readonly message: number }[] = [];
  /** Frames at which what was told takes the place of what holds. */
  #leaps: { readonly frame: number; readonly state: State }[] = [];
  /** All up to this frame was handed over. */
  #until = Number.NEGATIVE_INFINITY;
  /** The present take was told up to this frame. */
  #told = 0;
  /** Notes that sound, by slot, and how many of them: two players may share a channel. */
  readonly #sounding = new Map<number, number>();
  /** Controllers and bends as they were sent last. */
  readonly #set = new Map<number, number>();
  #rest: readonly number[] = [];
  /** The latest time that was handed over. */
  #last = Number.NEGATIVE_INFINITY;
  #horizon = HORIZON;
  /** When it was looked at what is due; null: not since it plays. */
  #looked: number | null = null;

  constructor(send: Send) {
    this.#send = send;
  }

  /** Clock, Start, Continue, Stop and Song Position go out too. */
  set clock(wanted: boolean) {
    this.#song.send(wanted, this.#last);
  }

  told({ take, first, frames, events, state }: MidiTold): void {
    if (take < this.#take) return;
    if (take > this.#take) {
      this.#take = take;
      this.#queue = this.#queue.filter(({ frame }) => frame < first);
      this.#leaps = this.#leaps.filter(({ frame }) => frame < first);
    }
    this.#told = first + frames;
    if (state !== null) this.#leaps.push({ frame: first, state });
    for (let at = 0; at < events.length; at += 2)
      this.#queue.push({ frame: events[at] as number, message: events[at + 1] as number });
  }

  /**
   * Hands over what is due.
   * @param timeOf milliseconds of `performance.now()` at which a frame of the play is heard
   */
  pump(now: number, timeOf: (frame: number) => number): void {
    const stood = this.#looked === null ? 0 : now - this.#looked;
    this.#looked = now;
    this.#horizon = Math.min(FURTHEST, Math.max(this.#horizon - FALLS * stood, HORIZON + stood));
    const due = (frame: number): boolean => timeOf(frame) <= now + this.#horizon;
    for (;;) {
      const [next] = this.#queue;
      const [leap] = this.#leaps;
      if (leap !== undefined && (next === undefined || leap.frame <= next.frame)) {
        if (leap.frame <= this.#until) {
          // Its first messages come too late to take the place of others: it holds from where those end.
          if (this.#told <= this.#until) break;
          this.#leaps.shift();
          if ((this.#leaps[0]?.frame ?? Number.POSITIVE_INFINITY) > this.#until)
            this.#leap(this.#passed(leap.state), Math.max(now, timeOf(this.#until)));
          continue;
        }
        if (!due(leap.frame)) break;
        this.#leaps.shift();
        this.#leap(leap.state, Math.max(now, timeOf(leap.frame)));
        continue;
      }
      if (next === undefined || !due(next.frame)) break;
      this.#queue.shift();
      this.#until = Math.max(this.#until, next.frame);
      this.#play(next.message, Math.max(now, timeOf(next.frame)));
    }
    if (now - this.#last >= SENSING_EVERY) this.#out(ACTIVE_SENSING, now);
  }

  /** What holds after the messages up to the frame until which others were handed over in their place. */
  #passed(state: State): State {
    const on = new Map(state.on.map((message) => [slotOf(message), message]));
    const set = new Map(state.set.map((message) => [knobOf(message), message]));
    let clock = state.clock;
    for (let next = this.#queue[0]; next !== undefined && next.frame <= this.#until; next = this.#queue[0]) {
      this.#queue.shift();
      const { message } = next;
      if (message === CLOCK) clock = clock === null ? null : clock + 1;
      else if (kind(message) === NOTE_ON) on.set(slotOf(message), message);
      else if (kind(message) === NOTE_OFF) on.delete(slotOf(message));
      else set.set(knobOf(message), message);
    }
    return { on: [...on.values()], set: [...set.values()], rest: state.rest, clock };
  }

  #out(message: number, time: number): void {
    // Never before what was handed over already: an end would come before its note.
    this.#last = Math.max(time, this.#last);
    this.#send(bytesOf(message), this.#last);
  }

  #play(message: number, time: number): void {
    if (message === CLOCK) {
      this.#song.clock(time);
      return;
    }
    const slot = slotOf(message);
    const before = this.#sounding.get(slot) ?? 0;
    if (kind(message) === NOTE_ON) {
      if (before > 0) this.#out(offOf(slot), time);
      this.#sounding.set(slot, before + 1);
    } else if (kind(message) === NOTE_OFF) {
      if (before > 1) this.#sounding.set(slot, before - 1);
      else this.#sounding.delete(slot);
      // One that goes on for another player, or that was ended by a leap.
      if (before !== 1) return;
    } else this.#set.set(knobOf(message), message);
    this.#out(message, time);
  }

  /** The music goes on somewhere else: what does not sound there ends, what does begins, controllers are set. */
  #leap({ on, set, rest, clock }: State, time: number): void {
    if (rest.length > 0) this.#rest = rest;
    this.#song.goTo(clock, time);
    const wanted = new Map(on.map((message) => [slotOf(message), message]));
    for (const slot of [...this.#sounding.keys()]) {
      if (wanted.has(slot)) continue;
      this.#sounding.delete(slot);
      this.#out(offOf(slot), time);
    }
    for (const message of set) if (this.#set.get(knobOf(message)) !== message) this.#play(message, time);
    for (const [slot, message] of wanted) {
      if (!this.#sounding.has(slot)) this.#out(message, time);
      this.#sounding.set(slot, 1);
    }
  }

  /**
   * Play stopped: every note ends, fader and bend are put back, the clock stops. At once, since what is handed over
   * for later may be lost with the page; and where more was handed over already, after that once more.
   * @param cleared the port threw away what it had not sent yet
   */
  stop(now: number, cleared = false): void {
    this.#queue = [];
    this.#leaps = [];
    this.#take = 0;
    this.#looked = null;
    this.#until = Number.NEGATIVE_INFINITY;
    const ends = [...[...this.#sounding.keys()].map(offOf), ...this.#rest];
    const after = cleared ? now : Math.max(now, this.#last);
    const runs = this.#song.running;
    this.#last = now;
    for (const time of new Set([now, after])) {
      for (const message of ends) this.#out(message, time);
      if (runs) this.#song.stop(time);
    }
    this.#song.forget();
    this.#sounding.clear();
    this.#set.clear();
  }
}
