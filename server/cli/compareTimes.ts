/** `countercut compare-times`: two lists of times by the published onset measure. */
import { compareTimes } from "../recordings/compareTimes.ts";
import { WINDOW } from "../recordings/score.ts";
import { type Command, DONE, FileError, type Io, print, UsageError } from "./command.ts";
import { readBytes } from "./files.ts";

/** Beyond this a list is surely not in seconds; the published measure refuses it too. */
const LATEST = 30_000;

async function readTimes(file: string, io: Io): Promise<number[]> {
  const lines = new TextDecoder().decode(await readBytes(file, io)).split(/\r?\n/);
  const times = lines.flatMap((line, index) => {
    const text = line.trim();
    if (text === "" || text.startsWith("#")) return [];
    const time = Number(text);
    if (!(time >= 0 && time <= LATEST)) {
      throw new FileError(
        `${file}, line ${index + 1}: "${text.slice(0, 40)}" is no time in seconds from 0 to ${LATEST}. Write one time a line.`,
      );
    }
    return [time];
  });
  return times.sort((a, b) => a - b);
}

export const command: Command = {
  name: "compare-times",
  usage: "REFERENCE PLAYED [--window 0.05] [--json]",
  help: `
Compares two lists of times in seconds, one a line; lines that start with # are skipped. A time that was played
counts as right where it lies within the window of one in the reference, each of which is used once, and as many
as can be are matched. Errors are played less reference: below 0 is early.

  --window S   half width of the window in seconds, its ends included; 0.05 unless said
  --json       { "precision", "recall", "f", "matched", "meanErrorMs", "spreadMs" }`,
  options: { window: { type: "string" }, json: { type: "boolean" } },
  async run({ positionals, values }, io) {
    const [reference, played, ...rest] = positionals;
    if (reference === undefined || played === undefined || rest.length > 0) {
      throw new UsageError("compare-times needs two files, REFERENCE and PLAYED.");
    }
    if (reference === "-" && played === "-")
      throw new UsageError("Only one of the two lists can be standard input.");
    const window = values.window === undefined ? WINDOW : Number(values.window);
    if (!(window > 0 && window <= 10)) throw new UsageError("--window takes seconds, above 0 to 10.");
    const result = compareTimes(await readTimes(reference, io), await readTimes(played, io), window);
    if (values.json === true) await print(io.stdout, `${JSON.stringify(result, null, 2)}\n`);
    else {
      const ms = (value: number | null): string => (value === null ? "–" : `${value.toFixed(1)} ms`);
      await print(
        io.stdout,
        `matched     ${result.matched}
precision   ${result.precision.toFixed(3)}
recall      ${result.recall.toFixed(3)}
f           ${result.f.toFixed(3)}
mean error  ${ms(result.meanErrorMs)}
spread      ${ms(result.spreadMs)}
`,
      );
    }
    return DONE;
  },
};
