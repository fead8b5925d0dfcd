/**
 * Tempo and place by a MIDI Clock that comes in (24 a quarter), whose messages jitter and sometimes stay out. Times are
 * milliseconds; no port and no clock of its own.
 */

const CLOCKS = 24;
/** Clocks that the tempo is fitted through: two quarters. */
const FITTED = 48;
/** Periods without a clock after which some are missing. */
const GAP = 2.5;
/** Milliseconds without one after which the clock is lost; a slow one has four periods. */
const LOST_AFTER = 250;

export class ClockReader {
  /** Numbers of clocks and when they came, the newest last. */
  #came: { number: number; time: number }[] = [];
  #fit: { readonly period: number; readonly at: number } | null = null;
  /** Number of the next clock; null where the music does not run. */
  #next: number | null = null;
  #told = 0;

  /** Song Position: sixteenths from the start. */
  songPosition(sixteenths: number): void {
    this.#told = sixteenths * 6;
  }
  start(): void {
    this.#told = 0;
    this.go();
  }
  /** From the last position told, or where it was stopped; the next clock is its first. */
  go(): void {
    const number = this.#told;
    // Clocks that came while it stood tell the tempo all the same.
    const shift = number - ((this.#came.at(-1)?.number ?? -1) + 1);
    this.#came = this.#came.map((one) => ({ ...one, number: one.number + shift }));
    if (this.#fit !== null) this.#fit = { ...this.#fit, at: this.#fit.at - shift * this.#fit.period };
    this.#next = number;
  }
  stop(): void {
    if (this.#next !== null) this.#told = this.#next;
    this.#next = null;
  }

  clock(time: number): void {
    const last = this.#came.at(-1);
    let number = (last?.number ?? -1) + 1;
    if (last !== undefined && this.#fit !== null) {
      const periods = (time - last.time) / this.#fit.period;
      // Some stayed out: the music went on meanwhile.
      if (periods > GAP && periods < 8 * CLOCKS) number = last.number + Math.max(1, Math.round(periods));
      else if (periods >= 8 * CLOCKS) this.#came = [];
    }
    this.#came.push({ number, time });
    if (this.#came.length > FITTED + 1) this.#came.shift();
    if (this.#next !== null) this.#next = number + 1;
    this.#refit();
  }

  /** The straight line through what came. */
  #refit(): void {
    const count = this.#came.length;
    if (count < 4) return;
    const mean = (of: (one: { number: number; time: number }) => number): number =>
      this.#came.reduce((sum, one) => sum + of(one), 0) / count;
    const [number, time] = [mean((one) => one.number), mean((one) => one.time)];
    let across = 0;
    let along = 0;
    for (const one of this.#came) {
      across += (one.number - number) * (one.time - time);
      along += (one.number - number) ** 2;
    }
    const period = across / along;
    if (period > 0) this.#fit = { period, at: time - number * period };
  }

  /** Quarters a minute; null before enough came. */
  get tempo(): number | null {
    return this.#fit === null ? null : 60_000 / (CLOCKS * this.#fit.period);
  }
  get running(): boolean {
    return this.#next !== null;
  }
  lost(now: number): boolean {
    const last = this.#came.at(-1);
    if (last === undefined || this.#fit === null) return false;
    return now - last.time > Math.max(LOST_AFTER, 4 * this.#fit.period);
  }
  /** Quarters from the start of the music; goes on at the last tempo while the clock stays out. */
  quartersAt(now: number): number | null {
    return this.#fit === null ? null : (now - this.#fit.at) / this.#fit.period / CLOCKS;
  }
}
