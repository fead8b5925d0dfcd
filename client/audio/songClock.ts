/**
 * MIDI Clock and the messages that say where in the song it stands: Start at its start, Song Position and Continue
 * anywhere else, Stop before it goes elsewhere. Clocks are counted, 24 a quarter from the start of the routine, so that
 * an edit that leaves the place as it is leaves the clock going, with none too many or too few.
 */

const CLOCK = 0xf8;
const START = 0xfa;
const CONTINUE = 0xfb;
const STOP = 0xfc;
const SONG_POSITION = 0xf2;
/** Song Position counts sixteenths, in 14 bits. */
const PER_SIXTEENTH = 6;
const FURTHEST = 16_383;
/** Clocks by which an edit may find the place shifted that were sent at the tempo before it: made up at once. */
const MADE_UP = 2;

export class SongClock {
  readonly #out: (message: number, time: number) => void;
  #sends = true;
  /** The next one to come; null where none runs. */
  #next: number | null = null;
  /** Where the song starts or continues; null where it does already. */
  #due: number | null = null;
  /** Clocks to come that were sent already. */
  #sent = 0;
  running = false;

  constructor(out: (message: number, time: number) => void) {
    this.#out = out;
  }

  send(wanted: boolean, time: number): void {
    if (wanted === this.#sends) return;
    if (this.running) this.stop(time);
    this.running = false;
    this.#sends = wanted;
    this.#place(time);
  }

  /** @param next number of the clock that comes next; null: none */
  goTo(next: number | null, time: number): void {
    const missing = (next ?? Number.NaN) - (this.#next ?? Number.NaN);
    if (Math.abs(missing) <= MADE_UP) {
      this.#sent = Math.max(0, -missing);
      for (let count = 0; count < missing; count++) this.clock(time);
      return;
    }
    if (this.running) this.stop(time);
    this.running = false;
    this.#sent = 0;
    this.#next = next;
    this.#place(time);
  }

  /** The song goes on at the next sixteenth. */
  #place(time: number): void {
    this.#due = null;
    if (this.#next === null || !this.#sends) return;
    const sixteenths = Math.ceil(this.#next / PER_SIXTEENTH);
    if (sixteenths > FURTHEST) return;
    this.#due = sixteenths * PER_SIXTEENTH;
    if (sixteenths > 0)
      this.#out(SONG_POSITION | ((sixteenths & 127) << 8) | ((sixteenths >> 7) << 16), time);
  }

  clock(time: number): void {
    if (this.#next === null) return;
    if (this.#sent > 0) {
      this.#sent -= 1;
      return;
    }
    if (this.#sends) {
      if (this.#next === this.#due) {
        this.#out(this.#due === 0 ? START : CONTINUE, time);
        this.#due = null;
        this.running = true;
      }
      this.#out(CLOCK, time);
    }
    this.#next += 1;
  }

  stop(time: number): void {
    if (this.#sends) this.#out(STOP, time);
  }

  forget(): void {
    this.#next = null;
    this.#due = null;
    this.#sent = 0;
    this.running = false;
  }
}
