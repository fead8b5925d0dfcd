/** What would mend each join beyond the user's limits, as a table. */
import type { JoinFacts, Mend, PlacementRef } from "../../schemas/facts.ts";
import type { Placement, Routine, Section } from "../../schemas/routine.ts";
import { joinMends } from "../facts/mendJoin.ts";
import { placeName, short } from "../facts/words.ts";
import { table } from "./table.ts";

interface Mended {
  readonly to: PlacementRef;
  readonly mends: readonly Mend[];
  /** Why there are few; null where there are enough. */
  readonly why: string | null;
}

export const mendsOfAll = (routine: Routine, joins: readonly JoinFacts[]): Mended[] =>
  joins.flatMap(({ to, verdict }) =>
    verdict === "beyond your limits" ? [{ to, ...joinMends(routine, to) }] : [],
  );

function rowsOf(routine: Routine, { to, mends, why }: Mended): string[][] {
  const section = routine.sections.find(({ id }) => id === to.section) as Section;
  const where = placeName(section, section.placements[to.placement] as Placement);
  return [
    ...mends.map(({ words, promises, quarters }) => [where, words, promises, short(quarters)]),
    ...(why === null ? [] : [[where, why, "–", "–"]]),
  ];
}

export function mendsTable(routine: Routine, tried: readonly Mended[]): string {
  const rows = tried.flatMap((one) => rowsOf(routine, one));
  const heading = ["Join into", "Change, the smallest first", "Then it", "Quarters moved"];
  return `Mends\n\n${rows.length === 0 ? "Every join is within your limits." : table([heading, ...rows])}\n`;
}
