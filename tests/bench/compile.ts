import type { Routine } from "../../schemas/routine.ts";
import { compile, createCompiler } from "../../server/routine/compile.ts";
import { longRoutine, movedOnce, timedInTurn } from "./routines.ts";
import type { BenchRow } from "./row.ts";

const RUNS = 1_200;

/** Compiles a routine of `count` sections after one edit more at each turn from minus a tenth of RUNS. */
function edits(count: number): (turn: number) => void {
  const compiler = createCompiler();
  const first = longRoutine(count);
  compiler(first);
  const edited: Routine[] = [];
  for (let turn = 0; turn < RUNS * 1.1; turn++) edited.push(movedOnce(edited.at(-1) ?? first, turn));
  return (turn) => compiler(edited[turn + RUNS / 10] as Routine);
}

export async function bench(): Promise<BenchRow[]> {
  const large = longRoutine(500);
  const { sections } = compile(large);
  const events = sections.reduce(
    (sum, { performance: one }) =>
      sum + one.strokes.length + one.openings.length + one.sounds.length + one.beat.length,
    0,
  );
  const half = longRoutine(250);
  const [whole = Number.NaN, halfOfIt = Number.NaN] = timedInTurn(
    15,
    () => compile(large),
    () => compile(half),
  );
  const [many = Number.NaN, few = Number.NaN] = timedInTurn(RUNS, edits(500), edits(50));
  return [
    {
      what: `compile 500 sections, ${events.toLocaleString("en")} events, from nothing`,
      figure: `${whole.toFixed(1)} ms`,
      against: `250 sections: ${halfOfIt.toFixed(1)} ms`,
      ratio: `${(whole / halfOfIt).toFixed(2)}×`,
      goal: "within 2.2×",
    },
    {
      what: "compile 500 sections after one edit",
      figure: `${many.toFixed(3)} ms`,
      against: `50 sections: ${few.toFixed(3)} ms`,
      ratio: `${(many / few).toFixed(2)}×`,
      goal: "under 5 ms, within 2×",
    },
  ];
}
