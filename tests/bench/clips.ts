/** Clips: events a second written, beside the writers of midi-file and @tonejs/midi; export of the demo. */
import tone from "@tonejs/midi";
import { type MidiEvent, writeMidi } from "midi-file";
import { clipFiles } from "../../server/clips/clipFiles.ts";
import { noteEvents } from "../../server/clips/events.ts";
import { readMidi } from "../../server/clips/read/file.ts";
import { inOrder } from "../../server/clips/events.ts";
import { midiFile } from "../../server/clips/write.ts";
import { zipOfClips } from "../../server/clips/zip.ts";
import { compile } from "../../server/routine/compile.ts";
import { DEMO } from "../../server/routine/demo.ts";
import type { BenchRow } from "./row.ts";

const NOTES = 4000;
const APART = 240;

/** Milliseconds of the quickest of some runs. */
function quickest(runs: number, work: () => unknown): number {
  let best = Number.POSITIVE_INFINITY;
  for (let run = 0; run < runs; run++) {
    const start = performance.now();
    work();
    best = Math.min(best, performance.now() - start);
  }
  return best;
}

const perSecond = (ms: number): string =>
  `${Math.round((2 * NOTES) / (ms / 1000)).toLocaleString("en")} events/s`;

export async function bench(): Promise<BenchRow[]> {
  const events = Array.from({ length: NOTES }, (_, at) =>
    noteEvents({ key: 29, channel: 9, velocity: 100, from: at * APART, to: at * APART + APART / 2 }),
  ).flat();
  const end = NOTES * APART;
  const ours = quickest(5, () => midiFile(0, 960, [{ events, end }]));

  let before = 0;
  const plain: MidiEvent[] = inOrder(events).map(({ tick, event }) => {
    const deltaTime = tick - before;
    before = tick;
    return { ...event, deltaTime };
  });
  plain.push({ deltaTime: end - before, meta: true, type: "endOfTrack" });
  const naive = quickest(1, () =>
    writeMidi({ header: { format: 0, numTracks: 1, ticksPerBeat: 960 }, tracks: [plain] }),
  );

  const midi = new tone.Midi();
  const track = midi.addTrack();
  for (let at = 0; at < NOTES; at++)
    track.addNote({ midi: 29, ticks: at * APART, durationTicks: APART / 2, velocity: 0.8 });
  const theirs = quickest(1, () => midi.toArray());

  const whole = midiFile(0, 960, [{ events, end }]);
  const read = quickest(5, () => readMidi(whole));
  const toneRead = quickest(5, () => new tone.Midi(whole));

  const performed = compile(DEMO);
  const demo = quickest(3, () => zipOfClips(DEMO, performed, clipFiles(DEMO, performed)));
  const row = (what: string, ms: number, against: string, other: number): BenchRow => ({
    what,
    figure: perSecond(ms),
    against: `${against}: ${perSecond(other)}`,
    ratio: `${(other / ms).toFixed(1)} times`,
    goal: "",
  });
  return [
    row(`write ${2 * NOTES} events`, ours, "midi-file in one piece", naive),
    row(`write ${2 * NOTES} events`, ours, "@tonejs/midi", theirs),
    row(`read ${2 * NOTES} events, guarded`, read, "@tonejs/midi", toneRead),
    {
      what: "all clips of the demo, zipped",
      figure: `${demo.toFixed(0)} ms`,
      against: "",
      ratio: "",
      goal: "",
    },
  ];
}
