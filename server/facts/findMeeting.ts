/**
 * What a record cycle and a fader cycle are together: the facts of a combination, counted without going through its
 * combined length. The inner loop of the search: it makes no objects, so one Meeting is filled again and again.
 */
import { gcdOf } from "../time/fraction.ts";
import { difficulty } from "./difficulty.ts";
import { BACK, type FaderCycleFacts, FORWARD, HOLD, type RecordCycleFacts } from "./findCycles.ts";

/** Names of whole phrases, as bits. */
export const BABY = 1;
export const TEAR = 2;

export class Meeting {
  readonly recordSteps: number;
  readonly faderSteps: number;
  /** The greatest common divisor of the two lengths: in so many ways the cycles can stand. */
  readonly phases: number;
  /** Steps. */
  readonly combined: number;
  /** Sixteenths in a step. */
  readonly #sixteenths: number;
  /** Shifts, in steps, one of which must mirror the phrase if any does; see isMirrored. */
  readonly #halves: readonly number[];

  record!: RecordCycleFacts;
  fader!: FaderCycleFacts;
  /** The record's step 0 meets the fader's step `phase`. */
  phase = 0;
  sounds = 0;
  cut = 0;
  turn = 0;
  restart = 0;
  fromRest = 0;
  mirrored = false;
  /** Strokes forward less strokes back, a record cycle. */
  drift = 0;
  names = 0;
  difficulty = 0;

  /** @param sixteenths in a step */
  constructor(recordSteps: number, faderSteps: number, sixteenths: number) {
    this.recordSteps = recordSteps;
    this.faderSteps = faderSteps;
    this.phases = gcdOf(recordSteps, faderSteps);
    this.combined = (recordSteps / this.phases) * faderSteps;
    this.#sixteenths = sixteenths;
    const halves: number[] = [];
    for (let half = this.combined / 2; Number.isInteger(half); half /= 2) halves.push(half);
    this.#halves = halves;
  }

  meet(record: RecordCycleFacts, fader: FaderCycleFacts, phase: number): void {
    this.record = record;
    this.fader = fader;
    this.phase = phase;
    const g = this.phases;
    let forward = 0;
    let back = 0;
    let cut = 0;
    let turn = 0;
    let restart = 0;
    let fromRest = 0;
    let crossing = 0;
    for (let r = 0, f = phase; r < g; r++, f = f + 1 === g ? 0 : f + 1) {
      const sounding = fader.sounding[f] as number;
      const opening = fader.cut[f] as number;
      const open = fader.open[f] as number;
      const forwards = record.forward[r] as number;
      const backs = record.back[r] as number;
      const restarts = record.restart[r] as number;
      forward += forwards * sounding;
      back += backs * sounding;
      cut += (forwards + backs) * opening;
      crossing += restarts * opening;
      turn += (record.turn[r] as number) * open;
      restart += restarts * open;
      fromRest += (record.fromRest[r] as number) * open;
    }
    this.sounds = forward + back;
    this.cut = cut;
    this.turn = turn;
    this.restart = restart;
    this.fromRest = fromRest;
    this.drift = record.forwards - record.backs;
    this.mirrored = forward === back && forward > 0 && this.#isMirrored();
    this.names = this.#named();
    const longer = Math.max(this.recordSteps, this.faderSteps);
    this.difficulty = difficulty({
      hands:
        ((record.forwards + record.backs) / this.recordSteps + fader.openings / this.faderSteps) /
        this.#sixteenths,
      memory: record.memory + fader.memory,
      rounds: this.combined / longer,
      crossing,
      sounds: this.sounds,
    });
  }

  /** What sounds in a step of the combined length (0 to below): its direction and quarters as one number, 0 nothing. */
  soundAt(step: number): number {
    const direction = this.record.directions[step % this.recordSteps] as number;
    const quarters = this.fader.quarters[(step + this.phase) % this.faderSteps] as number;
    return direction === HOLD || quarters === 0 ? 0 : direction + 4 * quarters;
  }

  /**
   * Some shift mirrors the phrase. Twice that shift leaves it as it is, so with P the phrase's own period the shift is
   * P/2 and any number of P. The combined length is a whole number q of P; taking all twos out of q, half the combined
   * length, or a half of that, and so on, is such a shift. So only these need be tried.
   */
  #isMirrored(): boolean {
    return this.#halves.some((shift) => {
      for (let step = 0, other = shift; step < this.combined; step++) {
        const here = this.soundAt(step);
        const there = this.soundAt(other);
        const expected =
          here === 0 ? 0 : (here & 3) === FORWARD ? here - FORWARD + BACK : here - BACK + FORWARD;
        if (there !== expected) return false;
        other = other + 1 === this.combined ? 0 : other + 1;
      }
      return true;
    });
  }

  /** See names.ts: of the settled names only these can be phrases of one-step strokes and cells. */
  #named(): number {
    const { forwards, backs } = this.record;
    if (!this.fader.alwaysOpen || forwards !== backs || forwards === 0) return 0;
    return forwards >= 2 ? TEAR : this.recordSteps === 2 ? BABY : 0;
  }

  /**
   * Scratches that stand somewhere in the phrase, as bits. A run is neighbouring strokes one way between which the
   * fader does not shut. A run forward and a run back that touch, the fader not shut between them and both equally
   * long, are a baby where they are one stroke long and a tear where they are longer. A run that fills the whole
   * phrase has no ends and is none.
   */
  contained(): number {
    const { combined } = this;
    let found = 0;
    // Start at a border, so that no run is cut in two; the first run is met again after the last.
    let origin = 0;
    while (origin < combined && this.#goesOn(origin)) origin++;
    if (origin === combined) return 0;
    let lengthBefore = 0;
    for (let at = 0; at <= combined; ) {
      const start = (origin + at) % combined;
      if (this.soundAt(start) === 0) {
        lengthBefore = 0;
        at++;
        continue;
      }
      let length = 1;
      while (length < combined && this.#goesOn((start + length) % combined)) length++;
      if (lengthBefore === length && this.#joins(start)) found |= length === 1 ? BABY : TEAR;
      lengthBefore = length;
      at += length;
    }
    return found;
  }

  /** Whether the fader stays open from the step before into this one, both being heard. */
  #joins(step: number): boolean {
    const fader = (step + this.phase) % this.faderSteps;
    const before = this.soundAt((step + this.combined - 1) % this.combined);
    return this.soundAt(step) !== 0 && before !== 0 && this.fader.opens[fader] === 0;
  }

  /** Whether this step is heard, goes on from the one before, and goes the same way. */
  #goesOn(step: number): boolean {
    if (!this.#joins(step)) return false;
    const before = this.soundAt((step + this.combined - 1) % this.combined);
    return (before & 3) === (this.soundAt(step) & 3);
  }
}
