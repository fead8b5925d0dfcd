/**
 * A robot that plays what is meant with errors that are known: each onset moved, some sounds left out, some added,
 * a constant lag, and noise, hum, beat and room under it. In two ways, so that nothing is tuned to one of them:
 *
 * - `hand`: time itself is bent between the moved onsets, so that the record turns a little faster or slower, as a
 *   hand would do it;
 * - `slices`: every sound is cut out and put down at its moved time, unchanged.
 */
import type { Expected, Meant } from "../../server/recordings/expected.ts";
import { seeded } from "../../server/sound/random.ts";
import { RATE } from "../../server/sound/rate.ts";

export interface RobotSettings {
  readonly seed: number;
  readonly way: "hand" | "slices";
  /** Seconds by which an onset is moved at most, evenly spread to either side. */
  readonly moved: number;
  /** Seconds. */
  readonly lag: number;
  /** Parts of the sounds, 0 to 1. */
  readonly leftOut: number;
  readonly added: number;
  /** Decibels of the hands over white noise, mean powers of the whole. Infinity: no noise. */
  readonly snr: number;
  /** Linear gain of the beat over its level in the mix, and seconds that it is late; 0: none. */
  readonly beat: number;
  readonly beatLag: number;
  /** Decibels of mains hum (50, 100 and 150 Hz) under the hands; Infinity: none. */
  readonly hum: number;
  /** Decibels of the room's sound under the direct sound, and seconds in which it falls by 60; Infinity: none. */
  readonly room: number;
  readonly roomSeconds: number;
}

export const PLAIN: RobotSettings = {
  seed: 1,
  way: "hand",
  moved: 0.02,
  lag: 0,
  leftOut: 0,
  added: 0,
  snr: Number.POSITIVE_INFINITY,
  beat: 0,
  beatLag: 0,
  hum: Number.POSITIVE_INFINITY,
  room: Number.POSITIVE_INFINITY,
  roomSeconds: 0.25,
};

export interface Played {
  readonly samples: Float32Array;
  /** Of each sound that is meant, seconds that it is early (below 0) or late, the lag not counted; null: left out. */
  readonly errors: readonly (number | null)[];
  /** Seconds of the added onsets, lag included. */
  readonly added: readonly number[];
}

const FADE = 0.001;

export function play({ meant, hands, beside }: Expected, settings: RobotSettings): Played {
  const random = seeded(settings.seed * 7919 + 17);
  const { moved, lag } = settings;
  // Their mean is no error but part of the lag, so it is taken off.
  const drawn = meant.map(() => ({ error: (2 * random() - 1) * moved, out: random() < settings.leftOut }));
  const kept = drawn.filter(({ out }) => !out);
  const even = kept.reduce((sum, { error }) => sum + error, 0) / kept.length;
  const all = drawn.map(({ error }) => error - even);
  const errors = drawn.map(({ out }, index) => (out ? null : (all[index] as number)));
  const loud = hands.slice();
  const placed = settings.way === "hand" ? bent : sliced;
  const samples = placed(meant, loud, all, errors, lag, hands.length + Math.round((lag + 0.3) * RATE));
  const added = addSounds(meant, hands, all, samples, settings, random);
  const power = mean(samples);
  if (settings.beat > 0) {
    const late = Math.round(settings.beatLag * RATE);
    for (let at = 0; at < samples.length; at++)
      samples[at] = (samples[at] as number) + settings.beat * (beside[at - late] ?? 0);
  }
  if (Number.isFinite(settings.room)) addRoom(samples, settings, random);
  const under = (decibels: number): number => Math.sqrt(power * 10 ** (-decibels / 10));
  if (Number.isFinite(settings.snr)) {
    // Evenly spread noise has a third of the power of its half width squared.
    const half = under(settings.snr) * Math.sqrt(3);
    for (let at = 0; at < samples.length; at++)
      samples[at] = (samples[at] as number) + (2 * random() - 1) * half;
  }
  if (Number.isFinite(settings.hum)) {
    const level = under(settings.hum);
    for (let at = 0; at < samples.length; at++) {
      const turn = (2 * Math.PI * 50 * at) / RATE;
      samples[at] =
        (samples[at] as number) +
        level * (Math.sin(turn) + 0.5 * Math.sin(2 * turn) + 0.3 * Math.sin(3 * turn));
    }
  }
  return { samples, errors, added };
}

const mean = (samples: Float32Array): number =>
  samples.reduce((sum, value) => sum + value * value, 0) / samples.length;

/** 1 inside a sound that is played, 0 inside one that is left out, with short slopes. */
function muteLeftOut(
  meant: readonly Meant[],
  hands: Float32Array,
  errors: readonly (number | null)[],
): Float32Array {
  const out = hands.slice();
  for (const [index, { time, lasts }] of meant.entries()) {
    if (errors[index] !== null) continue;
    const from = Math.round((time - FADE) * RATE);
    const to = Math.round((time + lasts + FADE) * RATE);
    const slope = FADE * RATE;
    for (let at = Math.max(0, from); at < Math.min(to, out.length); at++) {
      const gain = Math.max(0, 1 - (at - from) / slope, 1 - (to - at) / slope);
      out[at] = (out[at] as number) * gain;
    }
  }
  return out;
}

function bent(
  meant: readonly Meant[],
  hands: Float32Array,
  all: readonly number[],
  errors: readonly (number | null)[],
  lag: number,
  length: number,
): Float32Array {
  const source = muteLeftOut(meant, hands, errors);
  const from = [-1, ...meant.map(({ time }) => time), hands.length / RATE + 1];
  const to = [-1, ...meant.map(({ time }, index) => time + (all[index] as number)), hands.length / RATE + 1];
  const out = new Float32Array(length);
  let knot = 0;
  for (let at = 0; at < length; at++) {
    const now = at / RATE - lag;
    while (knot < to.length - 2 && now >= (to[knot + 1] as number)) knot++;
    const a = to[knot] as number;
    const b = to[knot + 1] as number;
    const part = b > a ? (now - a) / (b - a) : 0;
    out[at] = between(
      source,
      ((from[knot] as number) + part * ((from[knot + 1] as number) - (from[knot] as number))) * RATE,
    );
  }
  return out;
}

function sliced(
  meant: readonly Meant[],
  hands: Float32Array,
  all: readonly number[],
  errors: readonly (number | null)[],
  lag: number,
  length: number,
): Float32Array {
  const out = new Float32Array(length);
  const slope = FADE * RATE;
  for (const [index, { time, lasts }] of meant.entries()) {
    if (errors[index] === null) continue;
    const shift = Math.round(((all[index] as number) + lag) * RATE);
    const from = Math.round((time - FADE) * RATE);
    const next = meant[index + 1];
    const nextFrom =
      next === undefined ? length : Math.round((next.time + (all[index + 1] as number) + lag) * RATE);
    const to = Math.min(Math.round((time + lasts + FADE) * RATE), nextFrom - shift);
    for (let at = from; at < to; at++) {
      const gain = Math.min(1, (at - from) / slope, (to - at) / slope);
      const into = at + shift;
      if (into >= 0 && into < length) out[into] = (out[into] as number) + gain * (hands[at] ?? 0);
    }
  }
  return out;
}

/** Cubic through four points (Catmull and Rom 1974). */
function between(samples: Float32Array, at: number): number {
  const whole = Math.floor(at);
  const t = at - whole;
  const [a, b, c, d] = [-1, 0, 1, 2].map((by) => samples[whole + by] ?? 0) as [
    number,
    number,
    number,
    number,
  ];
  return b + 0.5 * t * (c - a + t * (2 * a - 5 * b + 4 * c - d + t * (3 * (b - c) + d - a)));
}

/** Short sounds of the same record, put where for 90 ms to either side nothing begins, and where it is quiet. */
function addSounds(
  meant: readonly Meant[],
  hands: Float32Array,
  all: readonly number[],
  samples: Float32Array,
  { added, lag }: RobotSettings,
  random: () => number,
): number[] {
  const cuts = meant.filter(({ onset, lasts }) => onset === "cut" && lasts >= 0.04);
  const wanted = Math.round(added * meant.length);
  const result: number[] = [];
  if (cuts.length === 0) return result;
  const starts = meant.map(({ time }, index) => time + (all[index] as number) + lag);
  for (let tries = 0; tries < 200 * wanted && result.length < wanted; tries++) {
    const at = random() * (samples.length / RATE - 0.1);
    if ([...starts, ...result].some((other) => Math.abs(other - at) < 0.09)) continue;
    const first = Math.round(at * RATE);
    let loud = 0;
    for (let i = first - 480; i < first + 2400; i++) loud = Math.max(loud, Math.abs(samples[i] ?? 0));
    if (loud > 0.001) continue;
    const cut = cuts[Math.floor(random() * cuts.length)] as Meant;
    const source = Math.round(cut.time * RATE);
    const count = Math.round(Math.min(0.05, cut.lasts) * RATE);
    for (let i = 0; i < count; i++) {
      const gain = Math.min(1, i / 48, (count - i) / 48);
      samples[first + i] = (samples[first + i] ?? 0) + gain * (hands[source + i] ?? 0);
    }
    result.push(at);
  }
  return result.sort((a, b) => a - b);
}

/** A decaying tail: 96 echoes at random delays and signs. */
function addRoom(samples: Float32Array, { room, roomSeconds }: RobotSettings, random: () => number): void {
  const echoes = Array.from({ length: 96 }, () => {
    const delay = 0.003 + random() * roomSeconds;
    return {
      frames: Math.round(delay * RATE),
      gain: (random() < 0.5 ? -1 : 1) * 10 ** ((-3 * delay) / roomSeconds),
    };
  });
  const total = echoes.reduce((sum, { gain }) => sum + gain * gain, 0);
  const level = Math.sqrt(10 ** (-room / 10) / total);
  const dry = samples.slice();
  for (const { frames, gain } of echoes)
    for (let at = frames; at < samples.length; at++)
      samples[at] = (samples[at] as number) + level * gain * (dry[at - frames] as number);
}
