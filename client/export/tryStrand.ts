/** A few messages of each event of a strand, to try out where they arrive. */
import type { Encoding } from "../../schemas/mapping.ts";
import { outReady, tryOut } from "../audio/midiOut.ts";
import { level } from "../state/settings.ts";

/** Milliseconds between messages. */
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

/** Drums of a loop that tell whether the keys fit. */
const DRUMS = [
  ["bass drum", 36],
  ["snare", 38],
  ["hi-hat", 42],
] as const;
/** Up, back, down and back: bend, speed and position. */
const SWEEP = [64, 96, 127, 96, 64, 32, 0, 32, 64];

export type StrandName = keyof Omit<Encoding, "ppq">;
export type Tried = readonly [name: string, messages: readonly number[][]];

/** What a strand can send, each with messages to try it; what it leaves out is not among them. */
export function triesOf(strand: StrandName, encoding: Encoding): readonly Tried[] {
  const { channel } = encoding[strand];
  const sweep = (name: string, number: number | "none"): Tried[] =>
    number === "none" ? [] : [[name, SWEEP.map((value) => control(channel, number, value))]];
  const keyed = (name: string, key: number | "none", ...velocities: number[]): Tried[] =>
    key === "none" ? [] : [[name, velocities.flatMap((velocity) => note(channel, key, velocity))]];
  switch (strand) {
    case "sounds": {
      const { forward, back, velocity } = encoding.sounds;
      const all = Object.values(velocity);
      return [...keyed("forward", forward, ...all), ...keyed("back", back, ...all)];
    }
    case "record": {
      const { bend, speed, position } = encoding.record;
      return [
        ...(bend ? [["bend", SWEEP.map((value) => [0xe0 | (channel - 1), 0, value])] as const] : []),
        ...sweep("speed", speed),
        ...sweep("position", position),
      ];
    }
    case "fader": {
      const { controller, open, closed, key, velocity } = encoding.fader;
      return [
        ...(controller === "none"
          ? []
          : [
              [
                "controller",
                [closed, open, closed, open].map((value) => control(channel, controller, value)),
              ] as const,
            ]),
        ...keyed("note", key, velocity),
      ];
    }
    case "groups": {
      const { velocity, record, fader, bar, beat } = encoding.groups;
      return [
        ...keyed("record group", record, velocity),
        ...keyed("fader group", fader, velocity),
        ...keyed("bar", bar, velocity),
        ...keyed("beat", beat, velocity),
      ];
    }
    case "beat": {
      const as = new Map(encoding.beat.keys.map((one) => [one.key, one.as]));
      return DRUMS.flatMap(([name, key]) => keyed(name, as.get(key) ?? key, 100));
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

/** Sent to the port that was chosen, heard where there is none. */
export function tryNow(messages: readonly number[][]): void {
  if (outReady.value) tryOut(messages, APART);
  else hear(messages);
}
