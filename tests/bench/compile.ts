import type { Routine } from "../../schemas/routine.ts";
import { compile, createCompiler } from "../../server/routine/compile.ts";
import { timelineOf } from "../../server/time/timeline.ts";
import { longRoutine, movedOnce, timed } from "./routines.ts";
import type { BenchRow } from "./row.ts";

/** Median milliseconds of compiling after one edit of a routine of `count` sections. */
function afterOneEdit(count: number): number {
  const compiler = createCompiler();
  const first = longRoutine(count);
  compiler(first);
  const edited: Routine[] = [];
  for (let turn = 0; turn <= 1320; turn++) edited.push(movedOnce(edited.at(-1) ?? first, turn));
  return timed(1200, (turn) => compiler(edited[turn + 120] as Routine));
}

export async function bench(): Promise<BenchRow[]> {
  const large = longRoutine(500);
  const { sections } = compile(large);
  const events = sections.reduce(
    (sum, { performance: one }) =>
      sum + one.strokes.length + one.openings.length + one.sounds.length + one.beat.length,
    0,
  );
  const whole = timed(15, () => compile(large));
  const timeline = timed(15, () => timelineOf(large.sections, sections));
  const few = afterOneEdit(50);
  const many = afterOneEdit(500);
  return [
    {
      what: `compile 500 sections, ${events.toLocaleString("en")} events, from nothing`,
      figure: `${whole.toFixed(1)} ms`,
      against: `its timeline alone: ${timeline.toFixed(2)} ms`,
      ratio: `${(whole / timeline).toFixed(0)}×`,
      goal: "",
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
