/**
 * MIDI that goes out: to the port that the user chose, remembered by its name, so that it is found again when it was
 * unplugged. While a play goes on it sends what the server tells of it; when play stops, the port goes or the page is
 * left, every note is ended first.
 */
import { computed, effect, signal } from "@preact/signals";
import { clockSent, midiOutName } from "../state/settings.ts";
import { MidiLine } from "./midiLine.ts";
import { timeOf } from "./heardNow.ts";
import * as player from "./player.ts";
import { playing } from "./playing.ts";

/** Milliseconds between looks at what is due, beside the reports of the audio thread. */
const EVERY = 50;

export const outState = signal<"shut" | "asking" | "open" | "refused" | "absent">("shut");
/** Names of the ports that are plugged in. */
export const outNames = signal<readonly string[]>([]);
const outChosen = computed(() => midiOutName.value !== "");
/** The chosen port is plugged in. */
export const outReady = computed(() => outChosen.value && outNames.value.includes(midiOutName.value));

let access: MIDIAccess | null = null;
/** Not every browser can clear. */
type Output = MIDIOutput & { clear?: () => void };
let port: Output | null = null;
const line = new MidiLine((bytes, time) => {
  try {
    port?.send(bytes, time);
  } catch {
    // It was unplugged this moment; the state's change follows.
  }
});

/** Where the browser can, what was handed over and is not sent yet is thrown away. */
function silence(): void {
  const clears = port?.clear !== undefined;
  port?.clear?.();
  line.stop(performance.now(), clears);
}

const nameOf = ({ name }: MIDIPort): string => name ?? "A port without a name";

/** Asks the browser, which may ask the user. */
export async function openOutput(): Promise<void> {
  if (outState.value === "open" || outState.value === "asking") return;
  if (navigator.requestMIDIAccess === undefined) {
    outState.value = "absent";
    return;
  }
  outState.value = "asking";
  try {
    access = await navigator.requestMIDIAccess({ sysex: false });
    access.addEventListener("statechange", look);
    outState.value = "open";
    look();
  } catch {
    outState.value = "refused";
  }
}

function look(): void {
  const there = [...(access?.outputs.values() ?? [])].filter(({ state }) => state !== "disconnected");
  outNames.value = there.map(nameOf);
  const wanted = there.find((one) => nameOf(one) === midiOutName.peek()) ?? null;
  if (wanted === port) return;
  // The old one may still be there: nothing is left to sound on it.
  silence();
  port = wanted;
  // A new port knows nothing of what holds: the server tells it.
  player.wantMidi(false);
  if (port !== null) player.wantMidi(true);
}

export function chooseOutput(name: string): void {
  midiOutName.value = name;
  if (outState.value === "open") look();
}

const pump = (): void => {
  if (port !== null) line.pump(performance.now(), (frame) => timeOf(frame) ?? Number.POSITIVE_INFINITY);
};

effect(() => {
  line.clock = clockSent.value;
});
player.whenMidi((told) => line.told(told), pump, silence);
effect(() => {
  if (!playing.value) return;
  const timer = setInterval(pump, EVERY);
  return () => clearInterval(timer);
});
if (typeof addEventListener === "function") {
  // The page is left, closed or put to sleep.
  addEventListener("pagehide", silence);
  if (midiOutName.peek() !== "") void openOutput();
}

/** Sends a few messages now, for trying out. @param apart milliseconds between them */
export function tryOut(messages: readonly (readonly number[])[], apart: number): void {
  const now = performance.now();
  for (const [index, bytes] of messages.entries()) port?.send([...bytes], now + index * apart);
}
