/** The metronome, and a sound of its own for each hand's group. */
import { RATE } from "./rate.ts";

export type ClickKind = "bar" | "beat" | "record" | "fader";
/** A sound a kind, or null where it does not click. */
export type Clicks = Readonly<Record<ClickKind, Float32Array | null>>;

/** Hz, and overtones as ratio and level: high wood for the metronome, a low drop for the record, glass for the fader. */
const SOUNDS: Readonly<
  Record<ClickKind, { hertz: number; level: number; seconds: number; over: number[][] }>
> = {
  bar: { hertz: 1760, level: 0.5, seconds: 0.07, over: [[2.76, 0.4]] },
  beat: { hertz: 1320, level: 0.32, seconds: 0.05, over: [[2.76, 0.3]] },
  record: {
    hertz: 440,
    level: 0.42,
    seconds: 0.1,
    over: [
      [2, 0.3],
      [3, 0.12],
    ],
  },
  fader: {
    hertz: 3136,
    level: 0.26,
    seconds: 0.12,
    over: [
      [1.503, 0.5],
      [2.61, 0.3],
    ],
  },
};

function render(kind: ClickKind): Float32Array {
  const { hertz, level, seconds, over } = SOUNDS[kind];
  const sound = new Float32Array(Math.round(seconds * RATE));
  for (const [ratio, part] of [[1, 1], ...over] as [number, number][]) {
    for (let i = 0; i < sound.length; i++) {
      const time = i / RATE;
      const fall = Math.exp((-6.9 * time * Math.sqrt(ratio)) / seconds);
      const rise = Math.min(1, i / 24);
      sound[i] = sound[i]! + level * part * rise * fall * Math.sin(2 * Math.PI * hertz * ratio * time);
    }
  }
  return sound;
}

/** Those of the kinds asked for; the metronome's bar and beat unless said. */
export const createClicks = (kinds: readonly ClickKind[] = ["bar", "beat"]): Clicks => ({
  bar: kinds.includes("bar") ? render("bar") : null,
  beat: kinds.includes("beat") ? render("beat") : null,
  record: kinds.includes("record") ? render("record") : null,
  fader: kinds.includes("fader") ? render("fader") : null,
});
