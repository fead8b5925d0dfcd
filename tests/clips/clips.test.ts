import pkg from "@tonejs/midi";
import { unzipSync } from "fflate";
import { expect, test } from "vitest";
import type { Routine } from "../../schemas/routine.ts";
import { UNITS_PER_QUARTER } from "../../schemas/units.ts";
import { clipFiles } from "../../server/clips/clipFiles.ts";
import { slug } from "../../server/clips/names.ts";
import { zipOfClips } from "../../server/clips/zip.ts";
import { compile } from "../../server/routine/compile.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { expectLaws, ticksOf } from "./laws.ts";
import { type ReadFile, readWithMidicsv, readWithMido } from "./read.ts";

const { Midi } = pkg;
const demo = clipFiles(DEMO, compile(DEMO));
test.each([960, 480, 1920])(
  "at %i ticks every clip of the demo keeps the laws, by a reader that is not ours",
  (ppq) => {
    const { files } = clipFiles(DEMO, compile(DEMO), { ppq });
    const read = readWithMido(files.map(({ bytes }) => bytes));
    // Five strands a section, and the whole.
    expect(read.length).toBe(DEMO.sections.length * 5 + 1);
    for (const [index, { section }] of files.entries()) {
      expectLaws(read[index] as ReadFile, ppq, ticksOf(DEMO, section, ppq));
      expect(read[index]?.format).toBe(section === null ? 1 : 0);
    }
  },
);

test("the two readers agree on every end of track and on how many events there are", () => {
  const bytes = demo.files.map((file) => file.bytes);
  const mido = readWithMido(bytes);
  for (const [index, lines] of readWithMidicsv(bytes).entries()) {
    const file = mido[index] as ReadFile;
    const ends = lines.filter((line) => line[2] === "End_track").map((line) => Number(line[1]));
    expect(ends).toEqual(file.tracks.map((track) => track.at(-1)?.tick));
    const events = lines.filter((line) => !["Header", "Start_track", "End_of_file"].includes(line[2] ?? ""));
    expect(events.length).toBe(file.tracks.reduce((sum, track) => sum + track.length, 0));
  }
});

test("each sound of a section is a note within half a tick of where it is heard", () => {
  const { sections } = compile(DEMO);
  const clip = demo.files.find(({ section, strand }) => section === 5 && strand === "sounds");
  const [file] = readWithMido([clip?.bytes as Uint8Array]);
  const starts = file?.tracks[0]?.filter(({ kind }) => kind === "note_on") ?? [];
  const sounds = sections[5]?.performance.sounds ?? [];
  expect(starts.length).toBe(sounds.length);
  for (const [index, { start, direction, onset }] of sounds.entries()) {
    // Swing by hand: 57 % of each pair of sixteenths to the first.
    const pair = (2 * UNITS_PER_QUARTER) / 4;
    const inside = start % pair;
    const bent = inside <= pair / 2 ? inside * 1.14 : pair * 0.57 + (inside - pair / 2) * 0.86;
    const ticks = ((start - inside + bent) * 960) / UNITS_PER_QUARTER;
    expect(Math.abs((starts[index]?.tick ?? -9) - ticks)).toBeLessThanOrEqual(0.5 + 1e-6);
    const velocity = { cut: 112, turn: 88, "from-rest": 80, restart: 72 }[onset];
    expect(starts[index]?.values).toEqual([9, direction === "forward" ? 29 : 30, velocity]);
  }
});

test("the whole routine has its tempo map, a marker at each section, and a track a strand", () => {
  const whole = demo.files.find(({ section }) => section === null);
  const [file] = readWithMido([whole?.bytes as Uint8Array]);
  const map = file?.tracks[0] ?? [];
  expect(map.filter(({ kind }) => kind === "marker").map(({ values }) => values[0])).toEqual(
    DEMO.sections.map(({ name }) => name),
  );
  expect(file?.tracks.map((track) => track.find(({ kind }) => kind === "track_name")?.values[0])).toEqual([
    "Night Ferry",
    "sounds",
    "record",
    "fader",
    "groups",
    "beat",
  ]);
  const midi = new Midi(whole?.bytes as Uint8Array);
  expect(midi.header.timeSignatures.map(({ timeSignature }) => timeSignature)).toEqual([
    [4, 4],
    [7, 8],
    [4, 4],
  ]);
  expect(midi.header.tempos[0]?.bpm).toBeCloseTo(92, 3);
  expect(midi.header.tempos.at(-1)?.bpm).toBeCloseTo(97, 3);
});

test("a ramp written as tempo events takes the exact time, within half a microsecond a quarter", () => {
  const clip = demo.files.find(({ section, strand }) => section === 6 && strand === "sounds");
  const track = readWithMido([clip?.bytes as Uint8Array])[0]?.tracks[0] ?? [];
  const tempos = track.filter(({ kind }) => kind === "set_tempo");
  let microseconds = 0;
  for (const [index, { tick, values }] of tempos.entries()) {
    microseconds += (((tempos[index + 1]?.tick ?? track.at(-1)?.tick ?? 0) - tick) / 960) * Number(values[0]);
  }
  // 92 to 97 over 32 quarters: 60·32/5·ln(97/92) s.
  expect(Math.abs(microseconds / 1e6 - 384 * Math.log(97 / 92))).toBeLessThan(32 * 0.5e-6);
});

test("text outside ASCII survives in the file, and its name is plain ASCII", () => {
  const routine: Routine = {
    ...DEMO,
    title: "Nächtliche Fähre №7 🚢",
    sections: DEMO.sections.map((section) => ({ ...section, name: "Überfahrt – ☾" })),
  };
  const { files } = clipFiles(routine, compile(routine));
  const whole = files.at(-1);
  expect(whole?.name).toBe("whole_nachtliche-fahre-no7.mid");
  const [clip, all] = readWithMido([files[0]?.bytes as Uint8Array, whole?.bytes as Uint8Array]);
  expect(clip?.tracks[0]?.[0]?.values[0]).toBe("Überfahrt – ☾: sounds");
  expect(all?.tracks[0]?.[0]?.values[0]).toBe("Nächtliche Fähre №7 🚢");
  expect(slug("   ")).toBe("routine");
});

test("file names sort in playing order and say section, strand, bars, tempo and metre", () => {
  const names = demo.files.slice(0, -1).map(({ name }) => name);
  expect(names).toContain("06_channel_fader_08bars_092.0bpm_7-8.mid");
  expect(names).toContain("07_harbour-lights_beat_08bars_092.0-097.0bpm_4-4.mid");
  const numbers = names.map((name) => name.slice(0, 2));
  expect([...numbers].sort()).toEqual(numbers);
});

test("a pickup stands at the end of the clip before, and a lead-in is clip 00", () => {
  const sections = DEMO.sections.slice(7);
  const routine: Routine = { ...DEMO, sections };
  const { files } = clipFiles(routine, compile(routine));
  expect(files[0]?.name).toBe("00_lead-in_sounds_01bars_097.0bpm_4-4.mid");
  const [leadIn] = readWithMido([files[0]?.bytes as Uint8Array]);
  const notes = leadIn?.tracks[0]?.filter(({ kind }) => kind === "note_on") ?? [];
  expect(notes.length).toBeGreaterThan(0);
  for (const { tick } of notes) expect(tick).toBeGreaterThanOrEqual(2880);
  expect(leadIn?.tracks[0]?.at(-1)?.tick).toBe(3840);
});

test("the zip is the same bytes each time, and holds the files and their table", () => {
  const zip = zipOfClips(DEMO, compile(DEMO), clipFiles(DEMO, compile(DEMO)));
  expect(zipOfClips(DEMO, compile(DEMO), clipFiles(DEMO, compile(DEMO)))).toEqual(zip);
  const entries = unzipSync(zip);
  expect(Object.keys(entries)).toEqual([...demo.files.map(({ name }) => name), "sections.csv"]);
  for (const { name, bytes } of demo.files) expect(entries[name]).toEqual(bytes);
  const table = new TextDecoder().decode(entries["sections.csv"]).split("\r\n");
  expect(table[0]).toBe("start bar,start time,section,bars,tempo,metre,files");
  expect(table[6]).toMatch(/^33,83\.478,Channel,8,92,7\/8,06_channel_sounds_/);
});

test("the exact resolution puts every event on a tick, and says so", () => {
  const { ppq, exact } = clipFiles(DEMO, compile(DEMO), { ppq: "exact" });
  // At 57 % a quarter of a sixteenth is 57/800 or 43/800 of a quarter note, a third in a pair's second half 43/600.
  expect([ppq, exact]).toEqual([2400, true]);
  expect(demo.exact).toBe(false);
});
