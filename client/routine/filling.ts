/** A gap filled with phrases one after the other: the edit that does it, and the way in words. */
import type { Edit } from "../../schemas/edit.ts";
import { gcd } from "../../schemas/fraction.ts";
import type { Pattern, PatternPlacement } from "../../schemas/routine.ts";
import { openedAhead } from "./ahead.ts";
import { lyingIn, sectionAt } from "./lying.ts";
import { lengthsOf, movedTo } from "./moving.ts";
import { player } from "./spot.ts";

export interface Gap {
  /** Units from the routine's start. */
  readonly from: number;
  readonly to: number;
}

/**
 * What of a gap no number of phrases of these lengths can ever fill: all of them are multiples of `unit`, and the gap is
 * so many such and `rest`. @returns null where that is not so. All in units
 */
export function leftOver(
  gap: number,
  lengths: readonly number[],
): { readonly unit: number; readonly rest: number } | null {
  const unit = lengths.reduce((a, b) => Number(gcd(BigInt(a), BigInt(b))), 0);
  return unit === 0 || gap <= unit || gap % unit === 0 ? null : { unit, rest: gap % unit };
}

/** "Wake, 3 times; Home": neighbours that are alike are said once. */
export function wayText(way: readonly string[], patterns: readonly Pattern[]): string {
  return runsOf(way)
    .map(({ id, count }) => {
      const name = patterns.find((one) => one.id === id)?.name ?? id;
      return count === 1 ? name : `${name}, ${count} times`;
    })
    .join("; ");
}

function runsOf(way: readonly string[]): { id: string; count: number }[] {
  const runs: { id: string; count: number }[] = [];
  for (const id of way) {
    const last = runs.at(-1);
    if (last?.id === id) last.count += 1;
    else runs.push({ id, count: 1 });
  }
  return runs;
}

/** Bar lines inside the gap, every so many bars of the section. */
export function barLines(gap: Gap, every: number): number[] {
  const state = openedAhead.value;
  const index = state === null ? null : sectionAt(state, gap.from);
  const timed = index === null ? undefined : state?.performance.sections[index];
  if (timed === undefined) return [];
  const span = timed.performance.bar * every;
  const lines: number[] = [];
  for (let at = timed.start + Math.ceil((gap.from + 1 - timed.start) / span) * span; at < gap.to; at += span)
    lines.push(at);
  return lines;
}

/** One phrase after the other, the record carrying on, so that each lands on the next. */
export function filling(gap: Gap, way: readonly string[]): Edit | null {
  const state = openedAhead.value;
  const index = state === null ? null : sectionAt(state, gap.from);
  if (state === null || index === null) return null;
  const section = state.routine.sections[index];
  const timed = state.performance.sections[index];
  if (section === undefined || timed === undefined) return null;
  const before = [...lyingIn(state).values()].find(
    (one) => one.to === gap.from && one.player === player.value && one.pattern !== null,
  )?.placement as PatternPlacement | undefined;
  let at = gap.from;
  const placements = runsOf(way).flatMap(({ id, count }, order) => {
    const pattern = state.routine.patterns.find((one) => one.id === id);
    if (pattern === undefined) return [];
    const placement = {
      pattern: id,
      bar: 1,
      lasts: { cycles: count },
      ...(before?.sample === undefined ? {} : { sample: before.sample }),
      ...(player.value === 1 ? {} : { player: player.value }),
      ...(order > 0 || before !== undefined ? { carriesOn: true } : {}),
    };
    const placed = movedTo(placement, at - timed.start, timed.performance.bar);
    at += count * lengthsOf(pattern).combined;
    return [placed];
  });
  return placements.length === 0 ? null : { kind: "add-placements", section: section.id, placements };
}
