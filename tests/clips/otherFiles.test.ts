/**
 * MIDI files of other programs' making, which packages under the MIT licence carry for their own tests: `midiconvert`
 * (four pieces and a drum loop) and `midifile-ts` (two songs). What we read is what mido and midicsv read.
 */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { beatOf } from "../../server/clips/read/beat.ts";
import { readMidi } from "../../server/clips/read/file.ts";
import { patternOf } from "../../server/clips/read/pattern.ts";
import { tempoMapOf } from "../../server/clips/read/tempoMap.ts";
import { readWithMidicsv, readWithMido } from "./read.ts";

const FILES = [
  "midiconvert/test/midi/bwv-846.mid",
  "midiconvert/test/midi/bwv-847.mid",
  "midiconvert/test/midi/bwv-850.mid",
  "midiconvert/test/midi/bwv-988-v01.mid",
  "midiconvert/test/midi/funk-kit.mid",
  "midifile-ts/fixtures/song.mid",
  "midifile-ts/fixtures/tracks.mid",
];
const bytesOf = (file: string): Uint8Array =>
  readFileSync(join(import.meta.dirname, "../../node_modules", file));
const all = FILES.map(bytesOf);
const mido = readWithMido(all, "latin1");
const midicsv = readWithMidicsv(all);

interface Struck {
  readonly track: number;
  readonly tick: number;
  readonly channel: number;
  readonly key: number;
  readonly velocity: number;
}
/** Starts of notes; those of no velocity are ends. */
const starts = (events: readonly Struck[]): string[] =>
  events
    .filter(({ velocity }) => velocity > 0)
    .map(({ track, tick, channel, key, velocity }) => `${track} ${tick} ${channel} ${key} ${velocity}`)
    .sort();

describe.each(FILES.map((file, index) => ({ file, index })))("$file", ({ index }) => {
  const read = readMidi(all[index] as Uint8Array);
  if ("problem" in read) throw new Error(read.problem);
  const others = mido[index]!.tracks.map((track) =>
    track.map(({ tick, kind, values }) => ({ tick, kind, values: values.map(Number) })),
  );
  const lines = midicsv[index]!;

  it("has the notes that two other readers find", () => {
    const ours = read.tracks.flatMap(({ notes }, track) =>
      notes.map(({ from, ...note }) => ({ ...note, track, tick: from })),
    );
    const notes = others.flatMap((events, track) =>
      events
        .filter(({ kind }) => kind === "note_on")
        .map(({ tick, values: [channel = -1, key = -1, velocity = 0] }) => ({
          track,
          tick,
          channel,
          key,
          velocity,
        })),
    );
    expect(notes.length).toBeGreaterThan(30);
    expect(starts(ours)).toEqual(starts(notes));
    const csv = lines
      .filter(([, , kind]) => kind === "Note_on_c")
      .map(([track, tick, , channel, key, velocity]) => ({
        track: Number(track) - 1,
        tick: Number(tick),
        channel: Number(channel),
        key: Number(key),
        velocity: Number(velocity),
      }));
    expect(starts(ours)).toEqual(starts(csv));
  });

  it("ends them where mido ends them", () => {
    for (const [track, events] of others.entries()) {
      const ends = events
        .filter(({ kind, values }) => kind === "note_off" || (kind === "note_on" && values[2] === 0))
        .map(({ tick, values: [channel, key] }) => `${tick} ${channel} ${key}`);
      const ours = read.tracks[track]!.notes.map(({ to, channel, key }) => `${to} ${channel} ${key}`);
      // An end without its note is left out, and said to be.
      const rest = new Map<string, number>();
      for (const end of ends) rest.set(end, (rest.get(end) ?? 0) + 1);
      for (const end of ours) rest.set(end, (rest.get(end) ?? 0) - 1);
      expect([...rest.values()].every((count) => count >= 0)).toBe(true);
      const spare = [...rest.values()].reduce((sum, count) => sum + count, 0);
      if (spare > 0) expect(read.leftOut.join()).toContain("ends of notes that never started");
    }
  });

  it("has the tempos and metres that mido finds", () => {
    const found = (kind: string) =>
      others
        .flat()
        .filter((event) => event.kind === kind)
        .sort((a, b) => a.tick - b.tick);
    expect(read.ppq).toBe(mido[index]!.ppq);
    expect(read.tempos.map(({ tick, microseconds }) => [tick, microseconds])).toEqual(
      found("set_tempo").map(({ tick, values }) => [tick, values[0]]),
    );
    expect(read.meters.map(({ tick, upper, lower }) => [tick, upper, lower])).toEqual(
      found("time_signature").map(({ tick, values }) => [tick, values[0], values[1]]),
    );
  });

  it("becomes a beat, a phrase and a tempo map, or a sentence says why not", () => {
    const key = read.tracks.flatMap(({ notes }) => notes)[0]?.key ?? 0;
    for (const result of [
      beatOf(read, { id: "other", step: "1/16" }),
      patternOf(read, { id: "other", step: "1/16", forward: key, back: key + 1 }),
      tempoMapOf(read),
    ]) {
      if ("problem" in result) expect(result.problem).toMatch(/^[A-Z].*\.$/);
      else expect(Number.isFinite(result.error)).toBe(true);
    }
  });
});

it("understands the drum loop: each hit on the sixteenth that is nearest, at the tempo that the file says", () => {
  const index = FILES.findIndex((file) => file.includes("funk"));
  const read = readMidi(all[index] as Uint8Array);
  if ("problem" in read) throw new Error(read.problem);
  const result = beatOf(read, { id: "funk", step: "1/16" });
  if ("problem" in result) throw new Error(result.problem);
  const ppq = mido[index]!.ppq;
  const hits = mido[index]!.tracks.flat().flatMap(({ tick, kind, values }) =>
    kind === "note_on" && Number(values[2]) > 0 ? [`${values[1]} ${Math.round((4 * tick) / ppq)}`] : [],
  );
  expect(result.beat.hits.flatMap(({ key, at }) => at.map((one) => `${key} ${one}`)).sort()).toEqual(
    [...new Set(hits)].sort(),
  );
  const map = tempoMapOf(read);
  if ("problem" in map) throw new Error(map.problem);
  const [, microseconds] = mido[index]!.tracks.flat().flatMap(({ kind, values }) =>
    kind === "set_tempo" ? [0, Number(values[0])] : [],
  );
  expect(60e6 / (map.stretches[0]!.tempo as number)).toBeCloseTo(microseconds!, 0);
});
