/** `countercut new`: an example as a routine file. */
import { rm } from "node:fs/promises";
import { resolve } from "node:path";
import { EXAMPLES, type Example, exampleNames } from "../routine/examples.ts";
import { writeRoutine } from "../routine/write.ts";
import { putTapes } from "../live/tapes.ts";
import { type Arguments, type Command, DONE, print, theFile, UsageError } from "./command.ts";
import { unwritten, writeWhole } from "./files.ts";
import { folderOf } from "./sounds.ts";

function exampleOf({ values }: Arguments): Example {
  const { example = "demo" } = values;
  const found = exampleNames.find((one) => one === example);
  if (found === undefined)
    throw new UsageError(`--example takes ${exampleNames.join(" or ")}, not "${String(example)}".`);
  return found;
}

export const command: Command = {
  name: "new",
  usage: `FILE [--example ${exampleNames.join("|")}]`,
  help: `
Writes the demo routine "Night Ferry" to FILE, or to standard output where FILE is -.
A file that is there already is left as it is.

  --example attic-waltz   the second example, "Attic Waltz", instead; the tape that it plays is put into the
                          .sounds folder beside FILE`,
  options: { example: { type: "string" } },
  async run(args, io) {
    const file = theFile(args, "new");
    const routine = EXAMPLES[exampleOf(args)];
    if (file === "-") await print(io.stdout, writeRoutine(routine));
    else {
      const path = resolve(io.cwd, file);
      await writeWhole(path, writeRoutine(routine), { mayReplace: false });
      const folder = folderOf(file, io);
      await putTapes(routine, folder).catch(async (error: unknown) => {
        // Both or nothing.
        await rm(path, { force: true });
        throw unwritten(folder, error);
      });
    }
    return DONE;
  },
};
