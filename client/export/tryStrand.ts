/** A few messages of a strand, to try out where they arrive: sent to the port, or heard where there is none. */
import type { Encoding } from "../../schemas/mapping.ts";
import { outReady, tryOut } from "../audio/midiOut.ts";
import { level } from "../state/settings.ts";

const APART = 250;
const note = (channel: number, key: number, velocity: number): number[][] => [
  [0x90 | (channel - 1), key, velocity],
  [0x80 | (channel - 1), key, 64],
];
const control = (channel: number, number: number, value: number): number[] => [
  0xb0 | (channel - 1),
  number,
  value,
];

/** Beats of a drum loop that tell whether the keys fit: bass drum, snare, closed hi-hat. */
const DRUMS = [36, 38, 42];

export function messagesOf(strand: keyof Omit<Encoding, "ppq">, encoding: Encoding): number[][] {
  switch (strand) {
    case "sounds": {
      const { channel, forward, back, velocity } = encoding.sounds;
      return [...note(channel, forward, velocity.cut), ...note(channel, back, velocity.turn)];
    }
    case "record": {
      const { channel, bend, speed, position } = encoding.record;
      const sweep = [64, 96, 127, 96, 64, 32, 0, 32, 64];
      return sweep.flatMap((value) => [
        ...(bend ? [[0xe0 | (channel - 1), 0, value]] : []),
        ...(speed === "none" ? [] : [control(channel, speed, value)]),
        ...(position === "none" ? [] : [control(channel, position, value)]),
      ]);
    }
    case "fader": {
      const { channel, controller, open, closed, key, velocity } = encoding.fader;
      const edges = [closed, open, closed, open].map((value) =>
        controller === "none" ? [] : control(channel, controller, value),
      );
      return [
        ...edges.filter((one) => one.length > 0),
        ...(key === "none" ? [] : note(channel, key, velocity)),
      ];
    }
    case "groups": {
      const { channel, velocity, ...keys } = encoding.groups;
      return [keys.record, keys.fader, keys.bar, keys.beat].flatMap((key) =>
        key === "none" ? [] : note(channel, key, velocity),
      );
    }
    case "beat": {
      const as = new Map(encoding.beat.keys.map((one) => [one.key, one.as]));
      return DRUMS.flatMap((key) => {
        const to = as.get(key) ?? key;
        return to === "none" ? [] : note(encoding.beat.channel, to, 100);
      });
    }
  }
}

/** Heard: a note as a short tone of its pitch, a controller or bend as a tone that is the higher, the higher it is. */
function hear(messages: readonly number[][]): void {
  const context = new AudioContext();
  const out = new GainNode(context, { gain: 0.5 * level.value ** 2 });
  out.connect(context.destination);
  for (const [index, [status = 0, first = 0, second = 0]] of messages.entries()) {
    const kind = status & 0xf0;
    if (kind === 0x80) continue;
    const height = kind === 0x90 ? first : 48 + second / 3;
    const at = context.currentTime + 0.05 + (index * APART) / 1000;
    const tone = new OscillatorNode(context, {
      frequency: 440 * 2 ** ((height - 69) / 12),
      type: "triangle",
    });
    const fade = new GainNode(context, { gain: 0 });
    fade.gain.setTargetAtTime(1, at, 0.005);
    fade.gain.setTargetAtTime(0, at + 0.1, 0.03);
    tone.connect(fade).connect(out);
    tone.start(at);
    tone.stop(at + 0.3);
  }
  setTimeout(() => void context.close(), messages.length * APART + 600);
}

export function tryStrand(strand: keyof Omit<Encoding, "ppq">, encoding: Encoding): void {
  const messages = messagesOf(strand, encoding);
  if (outReady.value) tryOut(messages, APART);
  else hear(messages);
}
