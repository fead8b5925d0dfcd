#!/usr/bin/env node
/** `countercut`: finds the command, reads its options, says what went wrong. Loads what a command needs, no more. */
import { parseArgs } from "node:util";
import { type Command, FileError, type Io, print, USED_WRONGLY, UsageError } from "./command.ts";

const COMMANDS: Readonly<
  Record<string, readonly [summary: string, load: () => Promise<{ command: Command }>]>
> = {
  serve: ["open the program in the browser", () => import("./serve.ts")],
  new: ["write an example routine", () => import("./new.ts")],
  check: ["print every problem of a routine", () => import("./check.ts")],
  timeline: ["print the compiled timeline as JSON", () => import("./timeline.ts")],
  describe: ["print what is worked out about a routine", () => import("./describe.ts")],
  clips: ["write the MIDI clips", () => import("./clips.ts")],
  sound: ["render the routine as WAV", () => import("./sound.ts")],
  find: ["list the space of combinations", () => import("./find.ts")],
  fill: ["list the sequences of groups that fill a gap", () => import("./fill.ts")],
  neighbours: ["list the phrases one change away from one", () => import("./neighbours.ts")],
  "compare-times": ["compare two lists of times", () => import("./compareTimes.ts")],
  "compare-recording": ["compare a recording with a section", () => import("./compareRecording.ts")],
  doctor: ["look after a folder of routines", () => import("./doctor.ts")],
};

function overview(): string {
  const lines = Object.entries(COMMANDS).map(([name, [summary]]) => `  ${name.padEnd(18)} ${summary}`);
  return `countercut: invent, hear, check and arrange scratch routines, and take them away as MIDI clips.

usage: countercut COMMAND …

${lines.join("\n")}

countercut COMMAND --help says more. FILE may be - for standard input.
Exit status: 0 done; 1 the routine has errors; 2 used wrongly, or a file could not be read.
`;
}

const helpOf = ({ name, usage, help }: Command): string =>
  `usage: countercut ${name} ${usage}\n\n${help.trim()}\n`;

async function run(words: readonly string[], io: Io): Promise<number> {
  const [name, ...rest] = words;
  if (name === undefined || name === "--help" || name === "-h" || name === "help") {
    await print(name === undefined ? io.stderr : io.stdout, overview());
    return name === undefined ? USED_WRONGLY : 0;
  }
  const entry = Object.hasOwn(COMMANDS, name) ? COMMANDS[name] : undefined;
  if (entry === undefined) {
    await print(io.stderr, `There is no command "${name}". countercut --help lists them.\n`);
    return USED_WRONGLY;
  }
  const { command } = await entry[1]();
  try {
    const { values, positionals } = parse(command, rest);
    if (values.help === true) {
      await print(io.stdout, helpOf(command));
      return 0;
    }
    return await command.run({ values, positionals }, io);
  } catch (error) {
    if (error instanceof UsageError) {
      await print(io.stderr, `${error.message}\nusage: countercut ${command.name} ${command.usage}\n`);
      return USED_WRONGLY;
    }
    if (error instanceof FileError) {
      await print(io.stderr, `${error.message}\n`);
      return USED_WRONGLY;
    }
    throw error;
  }
}

function parse(command: Command, words: string[]) {
  const options = { ...command.options, help: { type: "boolean", short: "h" } } as const;
  try {
    const { values, positionals } = parseArgs({ args: words, options, allowPositionals: true });
    return { values: values as Record<string, string | boolean | undefined>, positionals };
  } catch (error) {
    throw new UsageError(
      `${(error as Error).message.replace(/\. To specify.*$/s, "")}.`.replace(/\.+$/, "."),
    );
  }
}

// A reader that closes early (`countercut timeline FILE | head`) has what it wants.
process.stdout.on("error", (error: NodeJS.ErrnoException) => {
  if (error.code === "EPIPE") process.exit(0);
  process.stderr.write(`The result could not be written: ${error.message}.\n`);
  process.exit(USED_WRONGLY);
});

const { stdin, stdout, stderr, env } = process;
process.exitCode = await run(process.argv.slice(2), { stdin, stdout, stderr, env, cwd: process.cwd() });
