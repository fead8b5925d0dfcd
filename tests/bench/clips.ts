/**
 * Clips: events a second written and read, beside midi-file and @tonejs/midi. All of a row do the same work, as often,
 * after the same warming up, in turns; figures are medians. The writer of midi-file in one piece is the quicker
 * where events lie less than 128 ticks apart, and slows with the square of their number where they lie further.
 */
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import tone from "@tonejs/midi";
import { zipSync } from "fflate";
import { type MidiData, type MidiEvent, parseMidi, writeMidi } from "midi-file";
import type { Routine } from "../../schemas/routine.ts";
import { clipFiles } from "../../server/clips/clipFiles.ts";
import { Events } from "../../server/clips/events.ts";
import { midiFile } from "../../server/clips/midiFile.ts";
import { readMidi } from "../../server/clips/read/file.ts";
import type { WindowMemory } from "../../server/clips/windows.ts";
import { zipOfClips } from "../../server/clips/zip.ts";
import { refresh } from "../../server/clips-folder/refresh.ts";
import { compile, createCompiler } from "../../server/routine/compile.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { disk } from "../../server/store/disk.ts";
import { randomIds } from "../../server/store/folder.ts";
import { longRoutine, median, timed } from "./routines.ts";
import type { BenchRow } from "./row.ts";

/** Median milliseconds of each, done in turns. */
function medians(runs: number, ...works: readonly (() => unknown)[]): number[] {
  const times = works.map((): number[] => []);
  for (let run = -Math.ceil(runs / 3); run < runs; run++) {
    for (const [index, work] of works.entries()) {
      const start = performance.now();
      work();
      if (run >= 0) (times[index] as number[]).push(performance.now() - start);
    }
  }
  return times.map((list) => list.sort((a, b) => a - b)[list.length >> 1] as number);
}

function material(notes: number, apart: number) {
  const events = new Events();
  for (let at = 0; at < notes; at++)
    events.note({ key: 29, channel: 9, velocity: 100, from: at * apart, to: at * apart + apart / 2 });
  const end = notes * apart;
  const plain: MidiEvent[] = Array.from({ length: 2 * notes }, (_, at): MidiEvent => {
    const [deltaTime, channel, noteNumber] = [at === 0 ? 0 : apart / 2, 9, 29];
    return at % 2 === 0
      ? { deltaTime, type: "noteOn", channel, noteNumber, velocity: 100 }
      : { deltaTime, type: "noteOff", channel, noteNumber, velocity: 64 };
  });
  plain.push({ deltaTime: apart / 2, meta: true, type: "endOfTrack" });
  const midi = new tone.Midi();
  const track = midi.addTrack();
  for (let at = 0; at < notes; at++)
    track.addNote({ midi: 29, ticks: at * apart, durationTicks: apart / 2, velocity: 0.8 });
  return {
    ours: () => midiFile(0, 960, [{ events, end }]),
    inOnePiece: () => writeMidi({ header: { format: 0, numTracks: 1, ticksPerBeat: 960 }, tracks: [plain] }),
    tonejs: () => midi.toArray(),
  };
}

export async function bench(): Promise<BenchRow[]> {
  const rows: BenchRow[] = [];
  const add = (what: string, events: number, ms: number, against: string, other: number): void => {
    const rate = (time: number): string => `${Math.round(events / time).toLocaleString("en")},000 events/s`;
    rows.push({
      what,
      figure: rate(ms),
      against: `${against}: ${rate(other)}`,
      ratio: `${(other / ms).toFixed(2)} times`,
      goal: "",
    });
  };
  for (const [notes, apart, runs] of [
    [4000, 240, 30],
    [1000, 480, 6],
  ] as const) {
    const { ours, inOnePiece, tonejs } = material(notes, apart);
    const [mine = 0, naive = 0, theirs = 0] = medians(runs, ours, inOnePiece, tonejs);
    const what = `write ${2 * notes} events, ${apart / 2} ticks apart`;
    add(what, 2 * notes, mine, "midi-file in one piece", naive);
    add(what, 2 * notes, mine, "@tonejs/midi", theirs);
  }
  const bytes = material(4000, 240).ours();
  const [read = 0, tonejs = 0] = medians(
    30,
    () => readMidi(bytes),
    () => new tone.Midi(bytes),
  );
  add("read 8000 events, guarded", 8000, read, "@tonejs/midi", tonejs);

  const performed = compile(DEMO);
  const known = clipFiles(DEMO, performed).files.map(({ name, bytes }) => ({ name, midi: parseMidi(bytes) }));
  const [demo = 0, written = 0] = medians(
    9,
    () => zipOfClips(DEMO, performed, clipFiles(DEMO, performed)),
    () => zipSync(Object.fromEntries(known.map(({ name, midi }) => [name, storedBy(midi)])), { level: 0 }),
  );
  rows.push({
    what: "all clips of the demo from its strokes on, zipped",
    figure: `${demo.toFixed(0)} ms`,
    against: `midi-file, of events that are there: ${written.toFixed(0)} ms`,
    ratio: `${(written / demo).toFixed(2)} times`,
    goal: "",
  });
  rows.push(...(await takenAway()));
  return rows;
}

const storedBy = (midi: MidiData): Uint8Array => Uint8Array.from(writeMidi(midi));

/** Twenty minutes in 300 sections: all of it made and zipped, and a folder of it after one edit. */
async function takenAway(): Promise<BenchRow[]> {
  const long = longRoutine(300);
  const routine: Routine = {
    ...long,
    sections: long.sections.map((section) => ({
      ...section,
      bars: 2,
      tempo: typeof section.tempo === "number" ? section.tempo + 28 : { from: 118, to: 124 },
      placements: section.placements.slice(0, 1),
    })),
  };
  const compile = createCompiler();
  const all = timed(5, () => {
    const performed = compile(routine);
    zipOfClips(routine, performed, clipFiles(routine, performed));
  });
  const folder = await mkdtemp(join(tmpdir(), "countercut-bench-"));
  const memory: WindowMemory = new Map();
  const files = { fs: disk, ids: randomIds };
  const times: number[] = [];
  for (let turn = 0; turn < 10; turn++) {
    const placement = { pattern: "wake", bar: 1, at: turn % 2 === 0 ? "1/16" : "1/8", lasts: { steps: 20 } };
    const sections = routine.sections.map((one, index) =>
      index === 150 ? { ...one, placements: [placement] } : one,
    );
    const edited = { ...routine, sections };
    const performed = compile(edited);
    const start = performance.now();
    await refresh(files, folder, "bench", clipFiles(edited, performed, { memory }).files);
    // The first fills the folder.
    if (turn > 0) times.push(performance.now() - start);
  }
  await rm(folder, { recursive: true });
  const row = (what: string, ms: number, limit: number): BenchRow => ({
    what,
    figure: `${ms.toFixed(0)} ms`,
    against: `limit: ${limit} ms`,
    ratio: `${(limit / ms).toFixed(2)} times`,
    goal: "at least 1",
  });
  return [
    row("20 minutes of 300 sections: all clips, the whole and the zip", all, 2000),
    row("the same in a folder, after one edit", median(times), 300),
  ];
}
