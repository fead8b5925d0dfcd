/**
 * A message of the server, held to the whole shape of what the page itself takes on trust (schemas/wire.ts, `own`). Facts,
 * mends and neighbours are types without a schema: their tests hold them to what is worked out anew.
 */
import { z } from "zod";
import { FillAnswer, FindAnswer, FindProgress } from "../../schemas/find.ts";
import { PackedSection } from "../../schemas/packed.ts";
import { Patch } from "../../schemas/patch.ts";
import { PracticeEntry } from "../../schemas/practice.ts";
import { Problem } from "../../schemas/problem.ts";
import { Routine } from "../../schemas/routine.ts";
import { FromServer, Timing } from "../../schemas/wire.ts";

const Problems = z.union([z.array(Problem), z.looseObject({ values: z.array(Problem) })]);
const common = {
  routine: Routine.optional(),
  patch: Patch.optional(),
  timing: Timing.optional(),
  sections: z.array(PackedSection).optional(),
  problems: Problems.optional(),
  entries: z.array(PracticeEntry).optional(),
  progress: FindProgress.optional(),
};
const Insides = z.looseObject(common);
const Answers = { found: FindAnswer, filled: FillAnswer } as const;

/** @throws ZodError where a message, or what stands in it, has not its shape */
export function parseWhole(value: unknown): FromServer {
  const message = FromServer.parse(value);
  Insides.parse(message);
  if (message.type === "found" || message.type === "filled") Answers[message.type].parse(message.answer);
  return message;
}
