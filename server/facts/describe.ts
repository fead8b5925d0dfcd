/** All that is worked out about a routine, and the part of it that `countercut describe --json` prints. */
import type { Facts, JoinFacts, PatternFacts, PlacementFacts } from "../../schemas/facts.ts";
import type { Performance } from "../../schemas/performance.ts";
import type { Routine } from "../../schemas/routine.ts";
import { joinsOf } from "./joins.ts";
import { patternFactsOf } from "./patternFacts.ts";
import { sectionFactsOf } from "./sectionFacts.ts";
import { warningsFrom } from "./warnings.ts";

/**
 * From a checked routine and its performance. Kept by identity: a pattern or section that an edit did not touch has
 * the same object for its facts as before, and costs nothing.
 */
export function describe(routine: Routine, performance: Performance): Facts {
  const sections = sectionFactsOf(routine, performance);
  const patterns = patternFactsOf(routine, sections);
  return { patterns, sections, warnings: warningsFrom(routine, performance, patterns, sections) };
}

const patternJson = ({ id, combinedSteps, sounds, mirrored, driftDegrees, names }: PatternFacts) => ({
  id,
  combinedSteps,
  sounds,
  mirrored,
  driftDegrees,
  names,
});

const placementJson = ({
  section,
  placement,
  comeRoundBars,
  comeRoundRepeats,
  repeatStarts,
  comeRoundWithBeatBars,
  landing,
}: PlacementFacts) => ({
  section,
  placement,
  comeRoundBars,
  comeRoundRepeats,
  repeatStarts,
  comeRoundWithBeatBars,
  landing,
});

const joinJson = ({
  from,
  to,
  seconds,
  moveDegrees,
  speed,
  faderOpen,
  sampleChanges,
  verdict,
}: JoinFacts) => ({
  from,
  to,
  seconds,
  moveDegrees,
  speed,
  faderOpen,
  sampleChanges,
  verdict,
});

/** What `countercut describe --json` prints; the form is part of the routine file's contract. */
export function describeJson(routine: Routine, performance: Performance) {
  const { patterns, sections } = describe(routine, performance);
  return {
    patterns: patterns.map(patternJson),
    placements: sections.flatMap(({ placements }) => placements.map(placementJson)),
    joins: joinsOf(routine, performance).map(({ join }) => joinJson(join)),
  };
}
