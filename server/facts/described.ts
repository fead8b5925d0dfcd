/** Plain descriptions of what has no settled name: "2 clicks a stroke", "roll of 3". */
import type { Pattern } from "../../schemas/routine.ts";
import { unrolled } from "./unrolled.ts";

const inOrder = (numbers: Iterable<number>): number[] => [...new Set(numbers)].sort((a, b) => a - b);

/** How often strokes that start and end open are shut within, and into how many parts cells are split. */
export function describedAs(pattern: Pattern): string[] {
  const clicks = (unrolled(pattern) ?? []).flatMap(({ direction, opensOpen, endsOpen, openings }) =>
    direction !== "hold" && opensOpen && endsOpen && openings > 1 ? [openings - 1] : [],
  );
  const rolls = pattern.fader.cells.flatMap(({ fader: state, times = 1 }) =>
    times > 1 && (state === "click" || state === "pulse") ? [times] : [],
  );
  return [
    ...inOrder(clicks).map((n) => (n === 1 ? "1 click a stroke" : `${n} clicks a stroke`)),
    ...inOrder(rolls).map((n) => `roll of ${n}`),
  ];
}
