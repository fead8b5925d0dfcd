/**
 * MIDI on its way out: what the server told for the frames to come, held back until shortly before each is heard, so
 * that an edit can still take its place. No port and no clock in here: both are given.
 */
import type { SoundFromServer } from "../../schemas/soundWire.ts";

export type MidiTold = Extract<SoundFromServer, { type: "midi" }>;

/** Milliseconds before it is heard that a message is handed to the port. */
export const HORIZON = 25;

const NOTE_ON = 0x90;
const NOTE_OFF = 0x80;
const STOP = 0xfc;
const START_OR_CONTINUE: ReadonlySet<number> = new Set([0xfa, 0xfb]);
/** By MIDI 1.0, a receiver that got it once silences all when nothing comes for 300 ms: so a crash leaves no note on. */
const ACTIVE_SENSING = 0xfe;
const SENSING_EVERY = 200;

const kind = (message: number): number => message & 0xf0;
/** Channel and key of a note. */
const slotOf = (message: number): number => (message & 0x0f) | (message & 0xff00);
const isSystem = (message: number): boolean => (message & 0xff) >= 0xf0;
const offOf = (slot: number): number => NOTE_OFF | slot | (64 << 16);

/** Its one to three bytes. */
export function bytesOf(message: number): number[] {
  const status = message & 0xff;
  if (status >= 0xf4) return [status];
  return [status, (message >> 8) & 127, (message >> 16) & 127];
}

export type Send = (bytes: number[], time: number) => void;

export class MidiLine {
  readonly #send: Send;
  /** Clock, Start, Continue, Stop and Song Position go out too. */
  clock = true;
  #take = 0;
  #queue: { frame: number; message: number }[] = [];
  /** Notes that sound, by slot, and how many of them: two players may share a channel. */
  readonly #sounding = new Map<number, number>();
  #rest: readonly number[] = [];
  /** Frames at which what was told takes the place of what holds. */
  #states: { readonly frame: number; readonly state: NonNullable<MidiTold["state"]> }[] = [];
  #running = false;
  /** The latest time that was handed over. */
  #last = Number.NEGATIVE_INFINITY;

  constructor(send: Send) {
    this.#send = send;
  }

  /** Messages that wait; for tests. */
  get waiting(): number {
    return this.#queue.length;
  }

  told({ take, first, events, state }: MidiTold): void {
    if (take < this.#take) return;
    if (take > this.#take) {
      this.#take = take;
      this.#queue = this.#queue.filter(({ frame }) => frame < first);
      this.#states = this.#states.filter(({ frame }) => frame < first);
    }
    if (state !== null) this.#states.push({ frame: first, state });
    for (let at = 0; at < events.length; at += 2)
      this.#queue.push({ frame: events[at] as number, message: events[at + 1] as number });
  }

  /**
   * Hands over what is due.
   * @param timeOf milliseconds of `performance.now()` at which a frame of the play is heard
   */
  pump(now: number, timeOf: (frame: number) => number): void {
    const due = (frame: number): boolean => timeOf(frame) <= now + HORIZON;
    for (;;) {
      const [next] = this.#queue;
      const [state] = this.#states;
      if (state !== undefined && (next === undefined || state.frame <= next.frame)) {
        if (!due(state.frame)) break;
        this.#states.shift();
        this.#leap(state.state, Math.max(now, timeOf(state.frame)));
        continue;
      }
      if (next === undefined || !due(next.frame)) break;
      this.#queue.shift();
      this.#play(next.message, Math.max(now, timeOf(next.frame)));
    }
    if (now - this.#last >= SENSING_EVERY) this.#out(ACTIVE_SENSING, now);
  }

  #out(message: number, time: number): void {
    // Never before what was handed over already: an end would come before its note.
    this.#last = Math.max(time, this.#last);
    this.#send(bytesOf(message), this.#last);
  }

  #play(message: number, time: number): void {
    if (isSystem(message)) {
      if (!this.clock) return;
      if (START_OR_CONTINUE.has(message)) this.#running = true;
      this.#out(message, time);
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
    }
    this.#out(message, time);
  }

  /** The music goes on somewhere else: what does not sound there ends, what does begins, controllers are set. */
  #leap({ on, set, rest }: NonNullable<MidiTold["state"]>, time: number): void {
    if (rest.length > 0) this.#rest = rest;
    if (this.#running && this.clock) this.#out(STOP, time);
    this.#running = false;
    const wanted = new Map(on.map((message) => [slotOf(message), message]));
    for (const slot of [...this.#sounding.keys()]) {
      if (wanted.has(slot)) continue;
      this.#sounding.delete(slot);
      this.#out(offOf(slot), time);
    }
    for (const message of set) this.#out(message, time);
    for (const [slot, message] of wanted) {
      if (!this.#sounding.has(slot)) this.#out(message, time);
      this.#sounding.set(slot, 1);
    }
  }

  /** Play stopped: every note ends, fader and bend are put back, the clock stops. */
  stop(now: number): void {
    this.#queue = [];
    this.#states = [];
    this.#take = 0;
    for (const slot of this.#sounding.keys()) this.#out(offOf(slot), now);
    this.#sounding.clear();
    for (const message of this.#rest) this.#out(message, now);
    if (this.#running && this.clock) this.#out(STOP, now);
    this.#running = false;
  }
}
