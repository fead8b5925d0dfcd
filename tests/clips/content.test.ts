/** What each strand says, worked out here from what is played; and how a clip's bytes are laid out. Defaults throughout. */
import { expect, test } from "vitest";
import type { Routine } from "../../schemas/routine.ts";
import { UNITS_PER_QUARTER } from "../../schemas/units.ts";
import { clipFiles } from "../../server/clips/clipFiles.ts";
import { compile } from "../../server/routine/compile.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { repeatsEvery, sampleOf } from "../../server/routine/lookups.ts";
import { meterOf } from "../../server/time/meter.ts";
import { type ReadEvent, type ReadFile, readWithMido } from "./read.ts";

/** Without swing a tick is a plain part of a quarter; a stroke that moves evenly has one speed. */
const ROUTINE: Routine = {
  ...DEMO,
  sections: DEMO.sections.map(({ swing: _, ...section }) => section),
  patterns: DEMO.patterns.map((pattern) => ({
    ...pattern,
    record: {
      ...pattern.record,
      strokes: pattern.record.strokes.map((stroke) =>
        stroke.move === "forward" || stroke.move === "back" ? { ...stroke, shape: "even" as const } : stroke,
      ),
    },
  })),
};
const PERFORMANCE = compile(ROUTINE);
const { files } = clipFiles(ROUTINE, PERFORMANCE);
const read = readWithMido(files.map(({ bytes }) => bytes));
/** Sections in which nothing of another one sounds. */
const OWN = [1, 2, 3, 4, 5];

const ticks = (units: number): number => Math.round((units * 960) / UNITS_PER_QUARTER);
const clip = (section: number, strand: string): readonly ReadEvent[] =>
  read[files.findIndex((file) => file.section === section && file.strand === strand)]?.tracks[0] ?? [];
const controls = (track: readonly ReadEvent[], number: number): number[][] =>
  track
    .filter(({ kind, values }) => kind === "control_change" && values[1] === number)
    .map(({ tick, values }) => [tick, Number(values[2])]);
const starts = (track: readonly ReadEvent[], key: number): number[] =>
  track.filter(({ kind, values }) => kind === "note_on" && values[1] === key).map(({ tick }) => tick);

test("the fader strand has an edge wherever the fader opens and closes, and a note while it is open", () => {
  for (const index of OWN) {
    const openings: [number, number][] = [];
    for (const { start, end } of PERFORMANCE.sections[index]?.performance.openings ?? []) {
      // What one phrase leaves open and the next begins open did not shut between them.
      if (openings.at(-1)?.[1] === start) (openings.at(-1) as [number, number])[1] = end;
      else openings.push([start, end]);
    }
    const length = PERFORMANCE.sections[index]?.performance.length ?? 0;
    const edges = openings.flatMap(([start, end]) => [
      [ticks(start), 127],
      ...(end < length ? [[ticks(end), 0]] : []),
    ]);
    const track = clip(index, "fader");
    expect(controls(track, 11)).toEqual(edges[0]?.[0] === 0 ? edges : [[0, 0], ...edges]);
    expect(starts(track, 60)).toEqual(openings.map(([start]) => ticks(start)));
  }
});

test("the groups strand marks bars, beats, and where each hand starts again", () => {
  for (const index of OWN) {
    const section = ROUTINE.sections[index] as Routine["sections"][number];
    const { bar, beat } = meterOf(section);
    const all = Array.from({ length: (section.bars * bar) / beat }, (_, count) => count * beat);
    const track = clip(index, "groups");
    expect(starts(track, 34)).toEqual(all.filter((at) => at % bar === 0).map(ticks));
    expect(starts(track, 33)).toEqual(all.filter((at) => at % bar !== 0).map(ticks));
    const placed = PERFORMANCE.sections[index]?.performance.placed ?? [];
    const groups = (of: "recordGroups" | "faderGroups") =>
      [...new Set(placed.flatMap((one) => one[of]))].sort((a, b) => a - b).map(ticks);
    expect(starts(track, 31)).toEqual(groups("recordGroups"));
    expect(starts(track, 32)).toEqual(groups("faderGroups"));
  }
});

test("a hit of the beat lasts a sixteenth, or until the next of its key", () => {
  let cut = 0;
  for (const index of OWN) {
    const { performance } = PERFORMANCE.sections[index] as (typeof PERFORMANCE.sections)[number];
    const track = clip(index, "beat");
    for (const key of new Set(performance.beat.map((hit) => hit.key))) {
      const hits = performance.beat.filter((hit) => hit.key === key);
      expect(starts(track, key)).toEqual(hits.map(({ at }) => ticks(at)));
      const ends = track.filter(({ kind, values }) => kind === "note_off" && values[1] === key);
      for (const [number, { at }] of hits.entries()) {
        // A retrigger ends the note a tick earlier, and so does the end of the clip.
        const next = ticks(hits[number + 1]?.at ?? performance.length) - 1;
        if (next < ticks(at) + 240) cut++;
        expect(ends[number]?.tick).toBe(Math.min(ticks(at) + 240, next));
      }
    }
  }
  expect(cut).toBeGreaterThan(0);
});

test("the record strand's position is the record's at each stroke's start, and its bend full at 4 times platter speed", () => {
  let bends = 0;
  for (const index of OWN) {
    const { performance } = PERFORMANCE.sections[index] as (typeof PERFORMANCE.sections)[number];
    const { tempo } = ROUTINE.sections[index] as Routine["sections"][number];
    const track = clip(index, "record");
    const [high, low] = [controls(track, 16), controls(track, 48)];
    // Both bytes at once, the high one first.
    expect(high.map(([tick]) => tick)).toEqual(low.map(([tick]) => tick));
    const order = track.filter(({ kind }) => kind === "control_change").map(({ values }) => values[1]);
    expect(order).toEqual(high.flatMap(() => [16, 48]));
    const wheel = track.filter(({ kind }) => kind === "pitchwheel");
    expect([high[0]?.[0], wheel[0]?.tick]).toEqual([0, 0]);
    for (const { start, end, from, to, shape, placement, direction } of performance.strokes) {
      const sample = performance.placed.find((one) => one.placement === placement)?.sample ?? undefined;
      const repeat = repeatsEvery(sampleOf(ROUTINE.rig, sample)) || 360;
      const part = from / repeat - Math.floor(from / repeat);
      const at = high.findIndex(([tick]) => tick === ticks(start));
      const told = (high[at]?.[1] ?? 0) * 128 + (low[at]?.[1] ?? 0);
      expect(Math.abs(told - part * 16_384)).toBeLessThanOrEqual(1);
      if (shape !== "even" || direction === "hold") continue;
      // 33 1/3 turns a minute are 200 degrees a second.
      const seconds = (((end - start) / UNITS_PER_QUARTER) * 60) / Number(tempo);
      const wanted = Math.max(-8192, Math.min(8191, ((to - from) / seconds / 200 / 4) * 8192));
      const bend = Number(wheel.find(({ tick }) => tick === ticks(start))?.values[1]);
      expect(Math.abs(bend - wanted)).toBeLessThanOrEqual(1);
      bends++;
    }
  }
  expect(bends).toBeGreaterThan(0);
});

test("between two values the record's position strays from the one given last by 64 steps of 16,384 at most", () => {
  let looked = 0;
  for (const index of OWN) {
    const { performance } = PERFORMANCE.sections[index] as (typeof PERFORMANCE.sections)[number];
    const track = clip(index, "record");
    const low = controls(track, 48);
    const values = controls(track, 16).map(([tick = 0, high = 0], at) => [
      tick,
      high * 128 + (low[at]?.[1] ?? 0),
    ]);
    for (const { start, end, from, to, placement, direction } of performance.strokes) {
      if (direction === "hold") continue;
      const sample = performance.placed.find((one) => one.placement === placement)?.sample ?? undefined;
      const repeat = repeatsEvery(sampleOf(ROUTINE.rig, sample)) || 360;
      // 48 times a quarter, as a curve is looked at.
      for (let here: number = start; here < end; here += UNITS_PER_QUARTER / 48) {
        const round = (from + ((to - from) * (here - start)) / (end - start)) / repeat;
        const held = values.findLast(([tick = 0]) => tick <= ticks(here))?.[1] ?? Number.NaN;
        expect(Math.abs(held - (round - Math.floor(round)) * 16_384)).toBeLessThanOrEqual(64 + 1);
        looked++;
      }
    }
  }
  expect(looked).toBeGreaterThan(1_000);
});

test("a clip has its name, one tempo and one metre at its first tick; a ramp's further ones are a sixteenth apart at most", () => {
  for (const [index, { section, strand, name }] of files.entries()) {
    if (section === null) continue;
    const { format, tracks } = read[index] as ReadFile;
    expect([format, tracks.length]).toEqual([0, 1]);
    const meta =
      tracks[0]?.filter(({ kind }) => ["track_name", "set_tempo", "time_signature"].includes(kind)) ?? [];
    expect(
      meta
        .slice(0, 3)
        .map(({ kind, tick }) => [kind, tick])
        .sort(),
    ).toEqual([
      ["set_tempo", 0],
      ["time_signature", 0],
      ["track_name", 0],
    ]);
    expect(meta[0]?.values).toEqual([`${ROUTINE.sections[section]?.name}: ${strand}`]);
    const rest = meta.slice(3);
    const ramp = name.includes("-097");
    expect(rest.length > 0, name).toBe(ramp);
    let before = 0;
    for (const { kind, tick } of rest) {
      expect(kind).toBe("set_tempo");
      expect(tick - before).toBeLessThanOrEqual(240);
      before = tick;
    }
  }
});

/** The status byte of each event of a track's bytes, by RP-001: a delta time, then the event. */
function statuses(bytes: Uint8Array): number[] {
  const found: number[] = [];
  let at = 22;
  const number = (): number => {
    let value = 0;
    for (;;) {
      const byte = bytes[at++] as number;
      value = value * 128 + (byte & 127);
      if (byte < 128) return value;
    }
  };
  while (at < bytes.length) {
    number();
    const status = bytes[at++] as number;
    found.push(status);
    if (status === 0xff) {
      at++;
      const length = number();
      at += length;
    } else at += status >> 4 === 12 || status >> 4 === 13 ? 1 : 2;
  }
  return found;
}

test("every event says its status, and notes end by note offs", () => {
  for (const { bytes, section } of files) {
    if (section === null) continue;
    const kinds = statuses(bytes).map((status) => status >> 4);
    // A byte of data in a status's place is below 8.
    expect(kinds.filter((kind) => ![0x8, 0x9, 0xb, 0xe, 0xf].includes(kind))).toEqual([]);
    const many = (kind: number): number => kinds.filter((one) => one === kind).length;
    expect(many(0x8)).toBe(many(0x9));
  }
});
