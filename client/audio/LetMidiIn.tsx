/** Whether MIDI comes in, from which devices, and the button that lets it in. */
import { midiDevices, midiState, openMidi } from "./midiIn.ts";

const WORDS = {
  shut: "MIDI is not let in yet.",
  asking: "The browser asks whether MIDI may come in.",
  open: "MIDI is let in:",
  refused: "MIDI was refused. Allow it for this page in the browser’s settings, then try again.",
  absent: "This browser knows no MIDI. Keys and gamepads work without it.",
} as const;

/** "MIDI is let in: Pad 8, Pedal." */
export const midiText = (): string =>
  midiState.value === "open"
    ? `${WORDS.open} ${midiDevices.value.join(", ") || "no device is there"}.`
    : WORDS[midiState.value];

/** Nothing where it is in, or cannot be. */
export function LetMidiIn() {
  if (midiState.value === "open" || midiState.value === "absent") return null;
  return (
    <button type="button" disabled={midiState.value === "asking"} onClick={() => void openMidi()}>
      Let MIDI in
    </button>
  );
}
