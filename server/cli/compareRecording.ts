/** `countercut compare-recording`: what was played against what a section means. */
import { compareRecording } from "../recordings/compareRecording.ts";
import { expectedOf } from "../recordings/expected.ts";
import { leadingPlayer } from "../sound/placed.ts";
import { atRate, mono } from "../recordings/pcm.ts";
import { compile } from "../routine/compile.ts";
import { readWav } from "../sound/wavread.ts";
import { timelineOf } from "../time/timeline.ts";
import { type Command, DONE, FileError, print, theFile, UsageError } from "./command.ts";
import { readBytes, readRoutineFile } from "./files.ts";
import { theNamed } from "./named.ts";
import { readSounds } from "./sounds.ts";

const ms = (value: number | null): string => (value === null ? "–" : `${value.toFixed(1)} ms`);

export const command: Command = {
  name: "compare-recording",
  usage: "FILE --section ID --audio FILE.wav [--json]",
  help: `
Finds the onsets in a recording of a section and compares them with the sounds that the section means. The recording
starts within two seconds of the section's first bar. A constant lag is told apart from unsteadiness. Where it ends
before the section does, what is meant after its end is not judged.

  --section ID       which section was played: its id, or its name
  --audio FILE.wav   the recording; the beat that the program plays may be heard in it
  --json             { "precision", "recall", "f", "matched", "lagMs", "beatLagMs", "spreadMs", "sounds", "extra",
                     "upTo" }: seconds up to which it is judged; null where all of the section is`,
  options: { section: { type: "string" }, audio: { type: "string" }, json: { type: "boolean" } },
  async run(args, io) {
    const { section: given, audio } = args.values;
    const file = theFile(args, "compare-recording");
    if (given === undefined || typeof audio !== "string") {
      throw new UsageError("compare-recording needs --section and --audio.");
    }
    const routine = await readRoutineFile(file, io);
    if (typeof routine === "number") return routine;
    const index = routine.sections.indexOf(theNamed("section", routine.sections, given));
    const read = readWav(await readBytes(audio, io));
    if ("problem" in read) throw new FileError(`${audio}: ${read.problem}`);
    const performance = compile(routine);
    const timeline = timelineOf(routine.sections, performance.sections);
    const section = performance.sections[index] as (typeof performance.sections)[number];
    const expected = expectedOf(routine, performance, timeline, await readSounds(routine, file, io), {
      from: section.start,
      to: section.end,
      speed: 1,
      player: leadingPlayer(performance),
    });
    const result = compareRecording(expected, atRate(mono(read.wav.channels), read.wav.rate));
    if (args.values.json === true) {
      await print(io.stdout, `${JSON.stringify(result, null, 2)}\n`);
      return DONE;
    }
    await print(
      io.stdout,
      `meant       ${result.sounds.length}${result.upTo === null ? "" : `, up to ${result.upTo.toFixed(2)} s, where the recording ends`}
matched     ${result.matched}
extra       ${result.extra.length}
precision   ${result.precision.toFixed(3)}
recall      ${result.recall.toFixed(3)}
f           ${result.f.toFixed(3)}
lag         ${ms(result.lagMs)}
beat's lag  ${ms(result.beatLagMs)}
spread      ${ms(result.spreadMs)}
`,
    );
    return DONE;
  },
};
