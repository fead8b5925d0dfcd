/** `countercut check`: every problem of a routine. */
import { warningsOf } from "../facts/warnings.ts";
import { compile } from "../routine/compile.ts";
import { parseRoutine } from "../routine/parse.ts";
import { type Command, DONE, print, ROUTINE_HAS_ERRORS, theFile } from "./command.ts";
import { readRoutineBytes } from "./files.ts";

export const command: Command = {
  name: "check",
  usage: "FILE [--json]",
  help: `
Prints every problem of a routine: its severity, its place in the file (a JSON Pointer), its code, and a
sentence that says what to do. Warnings alone exit 0, errors exit 1.

  --json   { "problems": [ { "code", "severity", "place", "message" } ] }`,
  options: { json: { type: "boolean" } },
  async run(args, io) {
    const { routine, problems: errors } = parseRoutine(await readRoutineBytes(theFile(args, "check"), io));
    const problems = routine === null ? errors : warningsOf(routine, compile(routine));
    if (args.values.json === true) await print(io.stdout, `${JSON.stringify({ problems }, null, 2)}\n`);
    else if (problems.length === 0) await print(io.stdout, "No problems.\n");
    for (const { severity, place, code, message } of args.values.json === true ? [] : problems) {
      await print(io.stdout, `${severity}: ${place || "the file"}: ${code}: ${message}\n`);
    }
    return errors.length > 0 ? ROUTINE_HAS_ERRORS : DONE;
  },
};
