/** Small routines for the tests of sound, in a line: "f2 b h" strokes (f forward, b back, h hold, r released). */
import type { Beat, Cell, Pattern, Routine, Section, Stroke } from "../../schemas/routine.ts";
import { compile } from "../../server/routine/compile.ts";
import { type ClickKind, createClicks } from "../../server/sound/clicks.ts";
import type { Sounds } from "../../server/sound/inFrames.ts";
import { createKit } from "../../server/sound/kit.ts";
import { sampleJob } from "../../server/sound/prepare.ts";
import {
  type Channels,
  createRenderer,
  newChannels,
  type Renderer,
  type RenderOptions,
} from "../../server/sound/render.ts";
import { builtInSample } from "../../server/sound/samples.ts";
import { buildTables, type Tables } from "../../server/sound/tables.ts";
import { timelineOf } from "../../server/time/timeline.ts";

const MOVES: Readonly<Record<string, Stroke>> = {
  f: { move: "forward" },
  b: { move: "back" },
  h: { move: "hold" },
  e: { move: "forward", shape: "even" },
  d: { move: "back", shape: "even" },
  r: { move: "forward", shape: "released" },
};
const CELLS: Readonly<Record<string, Cell>> = {
  o: { fader: "open" },
  x: { fader: "closed" },
  c: { fader: "click" },
  p: { fader: "pulse" },
};

/** "f2 b:90 h": letter, then its length in steps, then its travel in degrees after a colon. */
export function strokes(line: string): Stroke[] {
  return line.split(" ").map((word) => {
    const [, letter = "", length = "", travel = ""] = /^([a-z])(\d*)(?::(\d+))?$/.exec(word) ?? [];
    return {
      ...MOVES[letter]!,
      ...(length === "" ? {} : { length: Number(length) }),
      ...(travel === "" ? {} : { travel: Number(travel) }),
    };
  });
}
export const cells = (line: string): Cell[] =>
  line
    .split(" ")
    .map((word) => ({ ...CELLS[word[0]!]!, ...(word.length > 1 ? { length: Number(word.slice(1)) } : {}) }));

export const pattern = (id: string, record: string, fader: string, step = "1/16"): Pattern => ({
  id,
  record: { step, strokes: strokes(record) },
  fader: { step, cells: cells(fader) },
});

export const section = (placements: Section["placements"], more: Partial<Section> = {}): Section => ({
  id: "one",
  bars: 1,
  meter: "4/4",
  tempo: 120,
  placements,
  ...more,
});

export const routine = (
  patterns: readonly Pattern[],
  sections: readonly Section[],
  more: { beats?: readonly Beat[]; rig?: Routine["rig"] } = {},
): Routine => ({
  format: "countercut-routine",
  version: 1,
  title: "Test",
  patterns,
  beats: more.beats ?? [],
  sections,
  ...(more.rig === undefined ? {} : { rig: more.rig }),
});

/** A tone that never stops: what is silent is silent because of hand or fader. */
export const TONE = buildTables(builtInSample("tone", 1.8), { repeatSeconds: 1.8, fastest: 8 });

export function sounds(
  samples: Readonly<Record<string, Tables>>,
  clicks: readonly ClickKind[] = [],
  beats: Readonly<Record<string, Tables>> = {},
): Sounds {
  return {
    samples: new Map(Object.entries(samples)),
    beats: new Map(Object.entries(beats)),
    kit: createKit(),
    clicks: createClicks(clicks),
  };
}

/** Every sample of the rig ready, for tests that need the real thing. */
export function allSounds(of: Routine, clicks: readonly ClickKind[] = []): Sounds {
  const samples = (of.rig?.samples ?? []).map((sample): [string, Tables] => {
    const { pcm, options } = sampleJob(sample, of.rig, null)!;
    return [sample.id, buildTables(pcm, { ...options, fastest: 8 })];
  });
  return sounds(Object.fromEntries(samples), clicks);
}

/** A renderer that plays the tone, without the surface. */
export function rendererOf(
  of: Routine,
  options: RenderOptions = {},
  with_: Sounds = sounds({ vowel: TONE }),
): Renderer {
  const performance = compile(of);
  const timeline = timelineOf(of.sections, performance.sections);
  return createRenderer(of, performance, timeline, with_, { surface: false, ...options });
}

export function rendered(renderer: Renderer, start: number, frames: number): Channels {
  const out = newChannels(frames);
  renderer.block(start, frames, out);
  return out;
}

/** All channels of a block in a line, for comparing. */
export const flat = (channels: Channels): Float32Array[] => [
  ...channels.scratch,
  channels.fader,
  ...channels.others,
  ...channels.beat,
  ...channels.clicks,
];

/** The first frame that is louder than the threshold, or −1. */
export function firstSound(sound: Float32Array, threshold = 0): number {
  return sound.findIndex((value) => Math.abs(value) > threshold);
}
