/** What a MIDI file holds that a beat, a pattern or a tempo map can be made of, at absolute ticks. */
import { type MidiEvent, parseMidi } from "midi-file";
import { guardMidi } from "./guard.ts";

export interface ReadNote {
  /** From 0, as the bytes count. */
  readonly channel: number;
  readonly key: number;
  readonly velocity: number;
  readonly from: number;
  readonly to: number;
}

export interface ReadController {
  readonly channel: number;
  readonly number: number;
  readonly value: number;
  readonly tick: number;
}

export interface ReadBend {
  /** -8192 to 8191. */
  readonly value: number;
  readonly tick: number;
}

export interface ReadTrack {
  readonly name: string;
  /** In order of start. */
  readonly notes: readonly ReadNote[];
  readonly controllers: readonly ReadController[];
  readonly bends: readonly ReadBend[];
  /** Tick of the end of track. */
  readonly end: number;
}

export interface MidiContent {
  /** Ticks a quarter. */
  readonly ppq: number;
  readonly tracks: readonly ReadTrack[];
  readonly tempos: readonly { readonly tick: number; readonly microseconds: number }[];
  readonly meters: readonly { readonly tick: number; readonly upper: number; readonly lower: number }[];
  readonly markers: readonly { readonly tick: number; readonly text: string }[];
  /** What is in the file and cannot be used, as sentences. */
  readonly leftOut: readonly string[];
}

/** Texts come one byte a character; they are UTF-8 where they can be, Latin-1 otherwise. */
function textOf(raw: string): string {
  const bytes = Uint8Array.from(raw, (character) => character.charCodeAt(0));
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    return raw;
  }
}

/** In the file, but of no use here; what these events are called in a sentence. */
const UNUSED: Partial<Record<MidiEvent["type"], string>> = {
  programChange: "program changes",
  channelAftertouch: "channel pressures",
  noteAftertouch: "key pressures",
  keySignature: "key signatures",
  lyrics: "lyrics",
  sysEx: "system exclusive messages",
  endSysEx: "system exclusive messages",
};

/** @param bytes of the file, whatever they are */
export function readMidi(bytes: Uint8Array): MidiContent | { readonly problem: string } {
  const guarded = guardMidi(bytes);
  if ("problem" in guarded) return guarded;
  const { header, tracks: parsed } = parseMidi(guarded.bytes);

  const tempos: { tick: number; microseconds: number }[] = [];
  const meters: { tick: number; upper: number; lower: number }[] = [];
  const markers: { tick: number; text: string }[] = [];
  const counts = new Map<string, number>();
  const leaveOut = (what: string): void => {
    counts.set(what, (counts.get(what) ?? 0) + 1);
  };

  const tracks = parsed.map((events): ReadTrack => {
    let name = "";
    let tick = 0;
    const notes: ReadNote[] = [];
    const controllers: ReadController[] = [];
    const bends: ReadBend[] = [];
    // Notes of one key end in the order they started.
    const sounding = new Map<number, { from: number; velocity: number }[]>();
    for (const event of events) {
      tick += event.deltaTime;
      switch (event.type) {
        case "trackName":
          name = textOf(event.text);
          break;
        case "setTempo":
          tempos.push({ tick, microseconds: event.microsecondsPerBeat });
          break;
        case "timeSignature":
          meters.push({ tick, upper: event.numerator, lower: event.denominator });
          break;
        case "marker":
          markers.push({ tick, text: textOf(event.text) });
          break;
        case "controller":
          controllers.push({
            channel: event.channel,
            number: event.controllerType,
            value: event.value,
            tick,
          });
          break;
        case "pitchBend":
          bends.push({ value: event.value, tick });
          break;
        case "noteOn": {
          const slot = event.channel * 128 + event.noteNumber;
          const waiting = sounding.get(slot);
          const started = { from: tick, velocity: event.velocity };
          if (waiting === undefined) sounding.set(slot, [started]);
          else waiting.push(started);
          break;
        }
        case "noteOff": {
          const started = sounding.get(event.channel * 128 + event.noteNumber)?.shift();
          if (started === undefined) leaveOut("ends of notes that never started");
          else notes.push({ channel: event.channel, key: event.noteNumber, ...started, to: tick });
          break;
        }
        default: {
          const what = UNUSED[event.type];
          if (what !== undefined) leaveOut(what);
        }
      }
    }
    for (const list of sounding.values())
      for (let left = list.length; left > 0; left--) leaveOut("notes that never end");
    notes.sort((a, b) => a.from - b.from || a.key - b.key);
    return { name, notes, controllers, bends, end: tick };
  });

  const byTick = (a: { tick: number }, b: { tick: number }): number => a.tick - b.tick;
  return {
    ppq: header.ticksPerBeat as number,
    tracks,
    tempos: tempos.sort(byTick),
    meters: meters.sort(byTick),
    markers: markers.sort(byTick),
    leftOut: [...counts].map(([what, count]) => `Left out: ${count} ${what}.`),
  };
}

/** For a reading that has no use for them. */
export function bendsLeftOut({ tracks }: MidiContent): string[] {
  const count = tracks.reduce((sum, { bends }) => sum + bends.length, 0);
  return count === 0 ? [] : [`Left out: ${count} pitch bends.`];
}
