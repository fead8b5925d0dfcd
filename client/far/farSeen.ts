/** Which two bars the view from afar shows at a place in the music, and which of its two rows each stands in. */
import type { Opened } from "../state/opened.ts";
import { barOf } from "../rehearse/drills.ts";
import { type FarRow, rowAfter, rowOf } from "./farRows.ts";
import type { Here } from "./here.ts";
import { parts } from "../rehearse/plan.ts";

/** What is drawn: changes with each bar, not with each frame. */
export interface Seen {
  readonly here: Here;
  readonly now: FarRow | null;
  readonly next: FarRow | null;
  /** The slot, 0 or 1, in which the present bar stands: rows take turns, so that none moves under the eye. */
  readonly slot: 0 | 1;
}

export const sameBar = (a: Here, b: Here, bar: number): boolean =>
  a.section === b.section &&
  barOf(a.at, bar) === barOf(b.at, bar) &&
  a.counting === b.counting &&
  a.counted?.beat === b.counted?.beat &&
  a.counted?.bar?.now === b.counted?.bar?.now &&
  a.resting === b.resting &&
  a.part === b.part &&
  a.next === b.next &&
  a.speed === b.speed;

export function seenAt({ performance }: Opened, here: Here, last: Seen | null): Seen {
  const part = parts.value.find(({ key }) => key === here.part);
  const range = here.mode === "run" ? null : (part?.range ?? null);
  const upcoming = parts.value.find(({ key }) => key === here.next)?.range ?? range;
  // While it rests, the first bar of the round to come is what matters.
  const at = here.resting && upcoming !== null ? upcoming.from : null;
  const section =
    at === null ? here.section : performance.sections.findIndex((one) => one.performance.id === at.section);
  const start = at?.at ?? here.at;
  const now = rowOf(performance, section, start);
  const after = rowAfter(performance, section, start, at === null ? range : upcoming);
  // At the end of a round comes the first bar of the next part; at the end of a recording nothing.
  const ends =
    range !== null &&
    at === null &&
    after?.row.number ===
      rowOf(
        performance,
        performance.sections.findIndex((one) => one.performance.id === range.from.section),
        range.from.at,
      )?.row.number;
  const next =
    ends && here.mode === "take"
      ? null
      : ends && upcoming !== null
        ? rowOf(
            performance,
            performance.sections.findIndex((one) => one.performance.id === upcoming.from.section),
            upcoming.from.at,
          )
        : after;
  const same = (a: FarRow | null | undefined, b: FarRow | null): boolean =>
    a?.row === b?.row && a?.section === b?.section;
  const stays = last !== null && same(last.now, now);
  const turns = last !== null && !stays && same(last.next, now);
  const slot = last === null ? 0 : turns ? ((1 - last.slot) as 0 | 1) : last.slot;
  return { here, now, next, slot };
}
