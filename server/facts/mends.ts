/** What can be done about a placement that a warning speaks of: see mendJoin.ts and mendLanding.ts. */
import type { Mend, PlacementRef } from "../../schemas/facts.ts";
import type { Routine } from "../../schemas/routine.ts";
import { joinMends } from "./mendJoin.ts";
import { landingMends } from "./mendLanding.ts";

export interface Mends {
  /** Why fewer than three different changes mend the join; null where there are enough, or nothing to mend. */
  readonly why: string | null;
  /** Of the join that leads into the placement, the smallest first. */
  readonly join: readonly Mend[];
  /** Of how it lands, the smallest first. */
  readonly landing: readonly Mend[];
}

/** @param routine without errors */
export function mendsOf(routine: Routine, to: PlacementRef): Mends {
  const { mends, why } = joinMends(routine, to);
  return { join: mends, why, landing: landingMends(routine, to) };
}
