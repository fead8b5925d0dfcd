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

/** Median milliseconds of all facts of a routine of `count` sections, each a performance of its own: nothing is remembered. */
function fromNothing(count: number): number {
  const routine = longRoutine(count);
  const fresh = Array.from({ length: 6 }, () => createCompiler()(routine));
  return timed(5, (turn) => describe(routine, fresh[turn + 1] as (typeof fresh)[number]));
}

export async function bench(): Promise<BenchRow[]> {
  const placements = longRoutine(500).sections.reduce((sum, section) => sum + section.placements.length, 0);
  const half = fromNothing(250);
  const whole = fromNothing(500);
  const few = afterOneEdit(50);
  const many = afterOneEdit(500);
  return [
    {
      what: `facts of 500 sections, ${placements.toLocaleString("en")} placements, from nothing`,
      figure: `${whole.toFixed(1)} ms`,
      against: `250 sections: ${half.toFixed(1)} ms`,
      ratio: `${(whole / half).toFixed(2)}×`,
      goal: "near 2×",
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
