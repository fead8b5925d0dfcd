/** Routines of a given size for measuring. */
import type { Routine, Section } from "../../schemas/routine.ts";
import { DEMO } from "../../server/routine/demo.ts";

/** `count` sections of eight bars, each with four placements of the demo's patterns over its beat. */
export function longRoutine(count: number): Routine {
  const pattern = (index: number): string =>
    ["wake", "five-lamps", "nine-waves", "breaker"][index % 4] as string;
  const sections = Array.from(
    { length: count },
    (_, index): Section => ({
      id: `part-${index + 1}`,
      bars: 8,
      meter: "4/4",
      tempo: index % 5 === 0 ? { from: 92, to: 96 } : 92 + (index % 7),
      swing: { of: "1/16", beat: 57, hands: 57 },
      beat: "engine-room",
      placements: [0, 1, 2, 3].map((at) => ({
        pattern: pattern(index + at),
        bar: 1 + 2 * at,
        lasts: { bars: 2 },
      })),
    }),
  );
  return { ...DEMO, sections };
}

/** The same routine with one placement in the middle moved by a sixteenth, forth or back. */
export function movedOnce(routine: Routine, turn: number): Routine {
  const middle = Math.floor(routine.sections.length / 2);
  const sections = routine.sections.map((section, index) =>
    index === middle
      ? {
          ...section,
          placements: section.placements.map((placement, at) =>
            at === 1 ? { ...placement, at: turn % 2 === 0 ? "1/16" : "0", lasts: { steps: 24 } } : placement,
          ),
        }
      : section,
  );
  return { ...routine, sections };
}

export const median = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? Number.NaN;

/** Median milliseconds of `runs` runs after a tenth as many to warm up. */
export const timed = (runs: number, work: (turn: number) => void): number =>
  timedInTurn(runs, work)[0] as number;

/** The same of several works, a run of each in turn: what slows the machine for a while slows all of them. */
export function timedInTurn(runs: number, ...works: readonly ((turn: number) => void)[]): number[] {
  const times: number[][] = works.map(() => []);
  for (let turn = -Math.ceil(runs / 10); turn < runs; turn++) {
    for (const [index, work] of works.entries()) {
      const start = performance.now();
      work(turn);
      if (turn >= 0) times[index]?.push(performance.now() - start);
    }
  }
  return times.map(median);
}
