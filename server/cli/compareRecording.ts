/** `countercut compare-recording`: what was played against what a section means. */
import { compareRecording, type Meant } from "../recordings/compareRecording.ts";
import { compile } from "../routine/compile.ts";
import { RATE } from "../sound/rate.ts";
import { createRenderer, newChannels } from "../sound/render.ts";
import { readWav } from "../sound/wavread.ts";
import { timelineOf } from "../time/timeline.ts";
import { type Command, DONE, FileError, print, theFile, UsageError } from "./command.ts";
import { readBytes, readRoutineFile } from "./files.ts";
import { readSounds } from "./sounds.ts";

const BLOCK = 4096;

/** One channel from several. */
function mono(channels: readonly Float32Array[]): Float32Array {
  const [first] = channels;
  if (first === undefined) return new Float32Array(0);
  const sum = new Float32Array(first.length);
  for (const channel of channels)
    for (const [at, value] of channel.entries()) sum[at] = (sum[at] as number) + value;
  return sum.map((value) => value / channels.length);
}

const ms = (value: number | null): string => (value === null ? "–" : `${value.toFixed(1)} ms`);

export const command: Command = {
  name: "compare-recording",
  summary: "compare a recording with a section",
  usage: "FILE --section ID --audio FILE.wav [--json]",
  help: `
Finds the onsets in a recording of a section and compares them with the sounds that the section means. The recording
starts within two seconds of the section's first bar. A constant lag is told apart from unsteadiness.

  --section ID       which section was played
  --audio FILE.wav   the recording, without the beat as far as that can be
  --json             { "precision", "recall", "f", "matched", "lagMs", "spreadMs", "sounds", "extra" }`,
  options: { section: { type: "string" }, audio: { type: "string" }, json: { type: "boolean" } },
  async run(args, io) {
    const { section: id, audio } = args.values;
    const file = theFile(args, "compare-recording");
    if (typeof id !== "string" || typeof audio !== "string") {
      throw new UsageError("compare-recording needs --section and --audio.");
    }
    const routine = await readRoutineFile(file, io);
    if (typeof routine === "number") return routine;
    const index = routine.sections.findIndex((section) => section.id === id);
    if (index < 0) {
      const ids = routine.sections.map((section) => section.id).join(", ");
      throw new UsageError(`There is no section "${id}". The routine has ${ids}.`);
    }
    const read = readWav(await readBytes(audio, io));
    if ("problem" in read) throw new FileError(`${audio}: ${read.problem}`);
    const performance = compile(routine);
    const timeline = timelineOf(routine.sections, performance.sections);
    const section = performance.sections[index] as (typeof performance.sections)[number];
    const meant: Meant[] = section.performance.sounds
      .map(({ start, onset, placement }) => ({
        time: timeline.secondsAt(section.start + start, "hands") - section.startSeconds,
        onset,
        placement,
      }))
      .filter(({ time }) => time >= 0)
      .sort((a, b) => a.time - b.time);

    const renderer = createRenderer(routine, performance, timeline, await readSounds(routine, file, io));
    const from = Math.round(section.startSeconds * RATE);
    const samples = new Float32Array(Math.round(section.endSeconds * RATE) - from);
    const out = newChannels(BLOCK);
    for (let at = 0; at < samples.length; at += BLOCK) {
      const count = Math.min(BLOCK, samples.length - at);
      renderer.block(from + at, count, out);
      for (let i = 0; i < count; i++) {
        const gain = out.fader[i] as number;
        samples[at + i] = (((out.scratch[0][i] as number) + (out.scratch[1][i] as number)) / 2) * gain;
      }
    }
    const { rate, channels } = read.wav;
    const result = compareRecording(meant, { samples, rate: RATE }, { samples: mono(channels), rate });
    if (args.values.json === true) {
      await print(io.stdout, `${JSON.stringify(result, null, 2)}\n`);
      return DONE;
    }
    await print(
      io.stdout,
      `meant       ${meant.length}
matched     ${result.matched}
extra       ${result.extra.length}
precision   ${result.precision.toFixed(3)}
recall      ${result.recall.toFixed(3)}
f           ${result.f.toFixed(3)}
lag         ${ms(result.lagMs)}
spread      ${ms(result.spreadMs)}
`,
    );
    return DONE;
  },
};
