import { resolve } from "node:path";
import { DEMO } from "../routine/demo.ts";
import { writeRoutine } from "../routine/write.ts";
import { type Command, DONE, print, theFile } from "./command.ts";
import { writeWhole } from "./files.ts";

export const command: Command = {
  name: "new",
  summary: "write the demo routine",
  usage: "FILE",
  help: `
Writes the demo routine "Night Ferry" to FILE, or to standard output where FILE is -.
A file that is there already is left as it is.`,
  options: {},
  async run(args, io) {
    const file = theFile(args, "new");
    if (file === "-") await print(io.stdout, writeRoutine(DEMO));
    else await writeWhole(resolve(io.cwd, file), writeRoutine(DEMO), { mayReplace: false });
    return DONE;
  },
};
