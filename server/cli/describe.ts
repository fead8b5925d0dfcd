import { describeJson } from "../facts/describe.ts";
import { compile } from "../routine/compile.ts";
import { type Command, DONE, print, theFile } from "./command.ts";
import { readRoutineFile } from "./files.ts";

export const command: Command = {
  name: "describe",
  summary: "print what is worked out about patterns, placements and joins",
  usage: "FILE [--json]",
  help: `
Prints what is worked out about a routine: of each pattern its combined length, sounds, mirror, drift and names;
of each placement where it comes round and how it lands; of each join how long there is, how far the record must
be brought, and whether your hands can do it.

  --json   { "patterns": [ … ], "placements": [ … ], "joins": [ … ] }`,
  options: { json: { type: "boolean" } },
  async run(args, io) {
    const routine = await readRoutineFile(theFile(args, "describe"), io);
    if (typeof routine === "number") return routine;
    const performance = compile(routine);
    if (args.values.json === true) {
      await print(io.stdout, `${JSON.stringify(describeJson(routine, performance), null, 2)}\n`);
    }
    return DONE;
  },
};
