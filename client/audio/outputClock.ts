/**
 * Where the audio clock stands on the clock of `performance.now()`. The browser's stamps come late now and then, by up
 * to some milliseconds, and jitter by a tenth; the two clocks drift by some parts in a hundred thousand. So the
 * distance is the straight line through the medians of half seconds, over the last twenty seconds.
 */

/** Stamps of a median: half a second of them. */
const BIN = 25;
const BINS = 40;
/** Square seconds that hold the slope back while the line is short: at its full length a tenth of it. */
const HELD_BACK = 4;
/** So many stamps one after the other beyond so many milliseconds, all to one side: the clock itself went elsewhere. */
const ASTRAY = 10;
const BEYOND = 3;
/** Seconds: the first stamp of a context tells a time before its sound began. */
const SETTLED = 0.05;

interface Bin {
  /** Mean seconds of its stamps, and their distances in milliseconds, in order. */
  seconds: number;
  readonly distances: number[];
}

export class OutputClock {
  #bins: Bin[] = [];
  #astray: { seconds: number; distance: number }[] = [];
  #line = { seconds: 0, distance: 0, slope: 0 };

  /** @param contextSeconds of what comes out of the loudspeaker at `milliseconds` of `performance.now()` */
  see(contextSeconds: number, milliseconds: number): void {
    if (contextSeconds < SETTLED) return;
    const distance = milliseconds - contextSeconds * 1000;
    if (this.#bins.length > 0) {
      const off = milliseconds - (this.at(contextSeconds) as number);
      const same = this.#astray.every((one) => one.distance > this.#line.distance === off > 0);
      if (Math.abs(off) <= BEYOND) this.#astray = [];
      else this.#astray = [...(same ? this.#astray : []), { seconds: contextSeconds, distance }];
      if (this.#astray.length === ASTRAY) {
        this.#bins = [];
        for (const one of this.#astray.splice(0)) this.#add(one.seconds, one.distance);
        this.#fit();
        return;
      }
    }
    this.#add(contextSeconds, distance);
    this.#fit();
  }

  /** The clock stood still: what was seen says nothing of what comes. */
  forget(): void {
    this.#bins = [];
    this.#astray = [];
  }

  #add(seconds: number, distance: number): void {
    let bin = this.#bins.at(-1);
    if (bin === undefined || bin.distances.length === BIN) {
      bin = { seconds: 0, distances: [] };
      this.#bins.push(bin);
      if (this.#bins.length > BINS) this.#bins.shift();
    }
    const { distances } = bin;
    bin.seconds += (seconds - bin.seconds) / (distances.length + 1);
    const at = distances.findIndex((one) => one > distance);
    distances.splice(at < 0 ? distances.length : at, 0, distance);
  }

  #fit(): void {
    let weight = 0;
    let [seconds, distance] = [0, 0];
    for (const bin of this.#bins) {
      const { length } = bin.distances;
      weight += length;
      seconds += length * bin.seconds;
      distance += length * medianOf(bin);
    }
    seconds /= weight;
    distance /= weight;
    let [across, along] = [0, HELD_BACK * weight];
    for (const bin of this.#bins) {
      const away = bin.distances.length * (bin.seconds - seconds);
      across += away * (medianOf(bin) - distance);
      along += away * (bin.seconds - seconds);
    }
    this.#line = { seconds, distance, slope: across / along };
  }

  /** Milliseconds of `performance.now()` at which a moment of the audio clock is heard; null before the first stamp. */
  at(contextSeconds: number): number | null {
    if (this.#bins.length === 0) return null;
    const { seconds, distance, slope } = this.#line;
    return contextSeconds * 1000 + distance + slope * (contextSeconds - seconds);
  }
}

const medianOf = ({ distances }: Bin): number => distances[(distances.length - 1) >> 1] as number;
