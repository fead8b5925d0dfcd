/** Errors within one beat. */
import type { Problem } from "../../schemas/problem.ts";
import type { Beat } from "../../schemas/routine.ts";
import { problem } from "./catalogue.ts";
import { finer, isFiner, remembered } from "./finding.ts";
import { called } from "./called.ts";

/** Places are JSON Pointers from the beat. The same list for the same beat. */
export const beatProblems = remembered(checkBeat);

function checkBeat(beat: Beat): Problem[] {
  const name = called(beat);
  const problems = isFiner(beat.step) ? [finer("/step", name, "its step")] : [];
  for (const [hit, { at, key }] of beat.hits.entries()) {
    for (const [index, step] of at.entries()) {
      if (step < beat.steps) continue;
      problems.push(
        problem(
          "hit-outside-beat",
          `/hits/${hit}/at/${index}`,
          `${name}, key ${key}: a hit at step ${step}, but the beat's last step is ${beat.steps - 1}. Move the hit, or lengthen the beat.`,
        ),
      );
    }
  }
  return problems;
}
