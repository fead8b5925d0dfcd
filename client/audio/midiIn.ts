/**
 * MIDI that comes in: every device of the machine, those plugged in later too, as presses, releases and positions with
 * the time at which the device sent them. Nothing is asked for before someone wants it; the answer is remembered.
 */
import { signal } from "@preact/signals";
import { midiWanted } from "../state/settings.ts";

export interface MidiEvent {
  /** A note, a controller (a knob, a fader, a pedal), or a change of program, which some pedals send. */
  readonly kind: "note" | "control" | "program";
  /** 1 to 16. */
  readonly channel: number;
  /** Key, controller or program, 0 to 127. */
  readonly number: number;
  /** Velocity or position, 0 to 127; 0 for a note that is let go, 127 for a program. */
  readonly value: number;
  /** Milliseconds, of the clock of `performance.now()`. */
  readonly time: number;
  /** The device, as it calls itself. */
  readonly device: string;
}

/**
 * A whole MIDI 1.0 message, as the browser hands it over (no running status). A note struck with velocity 0 is let go.
 * @returns null for every other kind of message
 */
export function readMidi(data: Uint8Array): Pick<MidiEvent, "kind" | "channel" | "number" | "value"> | null {
  const [status = 0, number = 0, value = 0] = data;
  const channel = (status & 0x0f) + 1;
  switch (status >> 4) {
    case 0x8:
      return { kind: "note", channel, number, value: 0 };
    case 0x9:
      return { kind: "note", channel, number, value };
    case 0xb:
      return { kind: "control", channel, number, value };
    case 0xc:
      return { kind: "program", channel, number, value: 127 };
    default:
      return null;
  }
}

export type MidiState = "shut" | "asking" | "open" | "refused" | "absent";
export const midiState = signal<MidiState>("shut");
/** Names of the devices that are there. */
export const midiDevices = signal<readonly string[]>([]);

const listeners = new Set<(event: MidiEvent) => void>();
/** @returns the way to stop listening */
export function onMidi(listener: (event: MidiEvent) => void): () => void {
  listeners.add(listener);
  return () => listeners.delete(listener);
}

/** Asks the browser, which may ask the user. The outcome stands in `midiState`. */
export async function openMidi(): Promise<void> {
  if (midiState.value === "open" || midiState.value === "asking") return;
  if (typeof navigator === "undefined" || navigator.requestMIDIAccess === undefined) {
    midiState.value = "absent";
    return;
  }
  midiState.value = "asking";
  try {
    const access = await navigator.requestMIDIAccess({ sysex: false });
    access.onstatechange = () => listenTo(access);
    listenTo(access);
    midiState.value = "open";
    midiWanted.value = true;
  } catch {
    midiState.value = "refused";
    midiWanted.value = false;
  }
}

/** Opens it where it was open before. */
export const openMidiAgain = (): void => {
  if (midiWanted.value) void openMidi();
};

function listenTo(access: MIDIAccess): void {
  const inputs = [...access.inputs.values()].filter(({ state }) => state !== "disconnected");
  midiDevices.value = inputs.map(({ name }) => name ?? "A device without a name");
  for (const input of inputs) {
    input.onmidimessage = ({ data, timeStamp }) => {
      const read = data === null ? null : readMidi(data);
      if (read === null) return;
      const event = { ...read, time: timeStamp, device: input.name ?? "" };
      for (const listener of [...listeners]) listener(event);
    };
  }
}
