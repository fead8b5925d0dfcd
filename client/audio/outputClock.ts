/**
 * Where the audio clock stands on the clock of `performance.now()`. The browser's stamps jitter by some milliseconds;
 * the two clocks drift by some parts in a hundred thousand. So the distance is followed slowly.
 */

/** Part of a new stamp's distance that is believed: with fifty stamps a second, about a second's worth is looked at. */
const BELIEVED = 0.02;
/** The first stamps are averaged. */
const FIRST = 1 / BELIEVED;
/** Milliseconds beyond which it is another distance, not jitter: the device was changed, say. */
const ANOTHER = 40;

export class OutputClock {
  #distance = 0;
  #count = 0;
  #astray = 0;

  /** @param contextSeconds of what comes out of the loudspeaker at `milliseconds` of `performance.now()` */
  see(contextSeconds: number, milliseconds: number): void {
    const distance = milliseconds - contextSeconds * 1000;
    const off = distance - this.#distance;
    this.#astray = this.#count > 0 && Math.abs(off) > ANOTHER ? this.#astray + 1 : 0;
    // A few wild stamps are passed over; when they stay, they are right.
    if (this.#astray > 0 && this.#astray < 8) return;
    if (this.#count === 0 || this.#astray >= 8) {
      this.#distance = distance;
      this.#count = 1;
      this.#astray = 0;
      return;
    }
    this.#count = Math.min(this.#count + 1, FIRST);
    this.#distance += off / this.#count;
  }

  /** Milliseconds of `performance.now()` at which a moment of the audio clock is heard; null before the first stamp. */
  at(contextSeconds: number): number | null {
    return this.#count === 0 ? null : contextSeconds * 1000 + this.#distance;
  }
}
