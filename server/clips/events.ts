/**
 * Events of a track at absolute ticks, as their messages (MIDI 1.0 Detailed Specification), and the order in which
 * those of one tick stand. Every number is checked where its message is made. A routine has hundreds of thousands, so
 * they stand in columns of plain numbers and not each in an object.
 */

/** Meta, note off, controller high byte, controller low byte, bend, note on. */
export type Rank = 0 | 1 | 2 | 3 | 4 | 5;

export interface Note {
  readonly key: number;
  /** 0 to 15, as the bytes count. */
  readonly channel: number;
  readonly velocity: number;
  readonly from: number;
  /** Where it should end; it may have to end earlier. */
  readonly to: number;
}

const NOTE_OFF = 0x80;
const NOTE_ON = 0x90;
const CONTROLLER = 0xb0;
const BEND = 0xe0;
const META = 0xff;
export const CLOCK = 0xf8;
/** What a note off carries where nothing is meant by it. */
const RELEASE = 64;

const upTo = (value: number, most: number, what: string): number => {
  if (!Number.isInteger(value) || value < 0 || value > most)
    throw new RangeError(`${what} ${value} is not 0 to ${most}`);
  return value;
};

/** A message of three bytes as one number, the status lowest. */
const packed = (status: number, first: number, second: number): number =>
  status | (first << 8) | (second << 16);

/** Ranks in one tick: 3 bits of an order. */
const RANKS = 8;

export class Events {
  /** By place: tick and rank as one number; the message, -1 for a meta event. */
  #orders = new Float64Array(64);
  #messages = new Int32Array(64);
  #size = 0;
  readonly #metas = new Map<number, readonly number[]>();

  get size(): number {
    return this.#size;
  }

  #add(tick: number, rank: Rank, message: number): void {
    if (!Number.isInteger(tick) || tick < 0) throw new RangeError(`tick ${tick} is no whole number from 0`);
    if (this.#size === this.#orders.length) {
      const [orders, messages] = [this.#orders, this.#messages];
      this.#orders = new Float64Array(2 * this.#size);
      this.#orders.set(orders);
      this.#messages = new Int32Array(2 * this.#size);
      this.#messages.set(messages);
    }
    this.#orders[this.#size] = tick * RANKS + rank;
    this.#messages[this.#size] = message;
    this.#size++;
  }

  note({ key, channel, velocity, from, to }: Note): void {
    upTo(key, 127, "key");
    upTo(channel, 15, "channel");
    // A velocity of 0 would be a note off.
    if (velocity < 1) throw new RangeError(`velocity ${velocity} is below 1`);
    upTo(velocity, 127, "velocity");
    this.#add(from, 5, packed(NOTE_ON | channel, key, velocity));
    this.#add(to, 1, packed(NOTE_OFF | channel, key, RELEASE));
  }

  controller(tick: number, channel: number, number: number, value: number, rank: 2 | 3 = 2): void {
    upTo(channel, 15, "channel");
    upTo(number, 127, "controller");
    this.#add(tick, rank, packed(CONTROLLER | channel, number, upTo(value, 127, "value")));
  }

  /** @param value -8192 to 8191, 0 the centre */
  bend(tick: number, channel: number, value: number): void {
    upTo(channel, 15, "channel");
    const raw = upTo(value + 8192, 16_383, "bend");
    this.#add(tick, 4, packed(BEND | channel, raw & 127, raw >> 7));
  }

  /** MIDI Clock: before all else at its tick. For playing, not for files. */
  clock(tick: number): void {
    this.#add(tick, 0, CLOCK);
  }

  /** @param type of the meta event, 0 to 127 */
  meta(tick: number, type: number, data: ArrayLike<number>): void {
    this.#metas.set(this.#size, [
      META,
      upTo(type, 127, "meta event"),
      ...lengthBytes(data.length),
      ...Array.from(data),
    ]);
    this.#add(tick, 0, -1);
  }

  /** In the order of the file: by tick, then rank, then as they were added. */
  each(act: (tick: number, message: number, meta: readonly number[] | undefined) => void): void {
    const size = this.#size;
    // Order and place in one number that a double holds exactly: sorted as numbers, and stable.
    const wide = 2 ** Math.ceil(Math.log2(size + 1));
    const sorted = new Float64Array(size);
    for (let place = 0; place < size; place++) sorted[place] = (this.#orders[place] as number) * wide + place;
    sorted.sort();
    for (let at = 0; at < size; at++) {
      const one = sorted[at] as number;
      const order = Math.floor(one / wide);
      const message = this.#messages[one - order * wide] as number;
      act(Math.floor(order / RANKS), message, message < 0 ? this.#metas.get(one - order * wide) : undefined);
    }
  }
}

/** A number of at most 28 bits as a variable-length quantity. */
export function lengthBytes(value: number): number[] {
  upTo(value, 0x0fff_ffff, "length");
  const bytes = [value & 127];
  for (let rest = value >> 7; rest > 0; rest >>= 7) bytes.unshift((rest & 127) | 128);
  return bytes;
}

/**
 * Makes notes fit: no two of one key overlap in a channel, a retrigger ends the one before at least a tick earlier,
 * none is shorter than a tick, and none reaches the end. What starts within two ticks of the note before has no
 * room for that, and is counted as left out.
 *
 * @param end tick of the end of the track, which no note reaches
 */
export function fitNotes(notes: readonly Note[], end: number): { notes: Note[]; leftOut: number } {
  const kept: Note[] = [];
  let leftOut = 0;
  const last = new Map<number, number>();
  for (const note of [...notes].sort((a, b) => a.from - b.from)) {
    const slot = note.channel * 128 + note.key;
    const before = last.get(slot);
    const earlier = before === undefined ? undefined : (kept[before] as Note);
    if (earlier !== undefined && note.from - earlier.from < 2) {
      leftOut++;
      continue;
    }
    if (earlier !== undefined && earlier.to >= note.from)
      kept[before as number] = { ...earlier, to: note.from - 1 };
    if (note.from > end - 2) {
      leftOut++;
      continue;
    }
    last.set(slot, kept.length);
    kept.push({ ...note, to: Math.min(end - 1, Math.max(note.from + 1, note.to)) });
  }
  return { notes: kept, leftOut };
}
