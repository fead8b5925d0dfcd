/** Events of a track at absolute ticks, and the order in which those of one tick stand. */
import type { MidiEvent } from "midi-file";

/** Meta, note off, controller high byte, controller low byte, bend, note on. */
export type Rank = 0 | 1 | 2 | 3 | 4 | 5;

export interface Timed {
  readonly tick: number;
  readonly rank: Rank;
  readonly event: MidiEvent;
}

export interface Note {
  readonly key: number;
  readonly channel: number;
  readonly velocity: number;
  readonly from: number;
  /** Where it should end; it may have to end earlier. */
  readonly to: number;
}

const on = (value: number, most: number, what: string): number => {
  if (!Number.isInteger(value) || value < 0 || value > most)
    throw new RangeError(`${what} ${value} is not 0 to ${most}`);
  return value;
};

export const noteEvents = ({ key, channel, velocity, from, to }: Note): Timed[] => {
  const noteNumber = on(key, 127, "key");
  on(channel, 15, "channel");
  return [
    {
      tick: from,
      rank: 5,
      event: { deltaTime: 0, type: "noteOn", channel, noteNumber, velocity: on(velocity, 127, "velocity") },
    },
    { tick: to, rank: 1, event: { deltaTime: 0, type: "noteOff", channel, noteNumber, velocity: 64 } },
  ];
};

export const controller = (
  tick: number,
  channel: number,
  number: number,
  value: number,
  rank: 2 | 3 = 2,
): Timed => ({
  tick,
  rank,
  event: {
    deltaTime: 0,
    type: "controller",
    channel: on(channel, 15, "channel"),
    controllerType: on(number, 127, "controller"),
    value: on(value, 127, "value"),
  },
});

/** @param value -8192 to 8191, 0 the centre */
export const bendEvent = (tick: number, channel: number, value: number): Timed => {
  on(value + 8192, 16_383, "bend");
  return {
    tick,
    rank: 4,
    event: { deltaTime: 0, type: "pitchBend", channel: on(channel, 15, "channel"), value },
  };
};

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

/** In the order of the file. */
export const inOrder = (events: readonly Timed[]): Timed[] =>
  [...events].sort((a, b) => a.tick - b.tick || a.rank - b.rank);
