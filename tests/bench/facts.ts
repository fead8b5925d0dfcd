/** What is worked out about a long routine, from nothing and after one edit. */
import type { Routine } from "../../schemas/routine.ts";
import { describe } from "../../server/facts/describe.ts";
import { createCompiler } from "../../server/routine/compile.ts";
import { longRoutine, movedOnce, timed } from "./routines.ts";
import type { BenchRow } from "./row.ts";

const WARM = 20;
const TURNS = 200;

/** Median milliseconds of the facts alone after one edit of a routine of `count` sections. */
function afterOneEdit(count: number): number {
  const compile = createCompiler();
  const first = longRoutine(count);
  describe(first, compile(first));
  const edited: Routine[] = [];
  for (let turn = 0; turn <= TURNS + WARM; turn++) edited.push(movedOnce(edited.at(-1) ?? first, turn));
  // Compiled one after the other, as edits are; each performance shares what its edit did not touch.
  const performances = edited.map((routine) => compile(routine));
  return timed(TURNS, (turn) =>
    describe(edited[turn + WARM] as Routine, performances[turn + WARM] as (typeof performances)[number]),
  );
}

export async function bench(): Promise<BenchRow[]> {
  const large = longRoutine(500);
  const placements = large.sections.reduce((sum, section) => sum + section.placements.length, 0);
  // Each a performance of its own, so that nothing is remembered.
  const fresh = Array.from({ length: 6 }, () => createCompiler()(large));
  const whole = timed(5, (turn) => describe(large, fresh[Math.max(0, turn + 1)] as (typeof fresh)[number]));
  const few = afterOneEdit(50);
  const many = afterOneEdit(500);
  return [
    {
      what: `facts of 500 sections, ${placements.toLocaleString("en")} placements, from nothing`,
      figure: `${whole.toFixed(1)} ms`,
      against: "",
      ratio: "",
      goal: "",
    },
    {
      what: "facts of 500 sections after one edit",
      figure: `${many.toFixed(3)} ms`,
      against: `50 sections: ${few.toFixed(3)} ms`,
      ratio: `${(many / few).toFixed(2)}×`,
      goal: "under 10 ms",
    },
  ];
}
