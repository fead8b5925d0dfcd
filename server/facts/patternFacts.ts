/** What is worked out about each pattern by itself and beside the others. */
import { platterSpeed } from "../../schemas/rig.ts";
import type { PatternFacts, SectionFacts } from "../../schemas/facts.ts";
import type { Pattern, Rig, Routine } from "../../schemas/routine.ts";
import { limitsOf } from "../routine/lookups.ts";
import { fractionText } from "../../schemas/fraction.ts";
import { combinedSteps } from "./combined.ts";
import { describedAs } from "./described.ts";
import { driftDegrees } from "./drift.ts";
import { isMirrored } from "./mirror.ts";
import { tradeNames, withScribble } from "./names.ts";
import { partsOf } from "./parts.ts";
import { countSounds, phraseOf } from "./phrase.ts";
import { handReach } from "./playability.ts";
import { alikeOf, equalsOf, twinsOf } from "./twins.ts";
import { called } from "../routine/called.ts";
import { Memory } from "../../schemas/memory.ts";

type Alone = Omit<PatternFacts, "names" | "alike" | "parts">;

/** With more patterns than these no pattern is looked for inside another. */
const MOST_BESIDE = 100;

interface Remembered {
  readonly rig: Rig | undefined;
  readonly alone: Alone;
  /** What its names and likenesses were made from. */
  patterns: readonly Pattern[];
  scribble: boolean;
  facts: PatternFacts;
}

const memory = new Memory<Pattern, Remembered>();

function aloneOf(pattern: Pattern, rig: Rig | undefined): Alone {
  return {
    id: pattern.id,
    combinedSteps: fractionText(combinedSteps(pattern)),
    sounds: Number(countSounds(phraseOf(pattern))),
    mirrored: isMirrored(pattern),
    driftDegrees: driftDegrees(pattern),
    described: describedAs(pattern),
    reach: handReach(pattern, limitsOf(rig), platterSpeed(rig)),
  };
}

/**
 * Of every pattern, in the order of the file. A pattern by itself has no tempo: it is called a scribble where it is
 * one at the tempo of each of its placements, of which there must be one.
 */
export function patternFactsOf(
  { patterns, rig }: Routine,
  sections: readonly SectionFacts[],
): PatternFacts[] {
  const scribbles = new Map<string, boolean>();
  for (const { placements } of sections) {
    for (const { pattern, names } of placements) {
      scribbles.set(pattern, (scribbles.get(pattern) ?? true) && names.includes("scribble"));
    }
  }
  return patterns.map((pattern) => {
    const scribble = scribbles.get(pattern.id) ?? false;
    const known = memory.get(pattern);
    if (
      known !== undefined &&
      known.rig === rig &&
      known.patterns === patterns &&
      known.scribble === scribble
    ) {
      return known.facts;
    }
    const alone = known !== undefined && known.rig === rig ? known.alone : aloneOf(pattern, rig);
    const twins = twinsOf(patterns);
    const trade = tradeNames(pattern);
    const names = [...(scribble ? withScribble(trade) : trade), ...equalsOf(pattern, twins).map(called)];
    const beside = patterns.length > MOST_BESIDE ? [] : patterns.filter((other) => other !== pattern);
    const facts = { ...alone, names, alike: alikeOf(pattern, twins), parts: partsOf(pattern, beside) };
    const kept =
      known !== undefined && known.alone === alone && same(known.facts, facts) ? known.facts : facts;
    memory.set(pattern, { rig, alone, patterns, scribble, facts: kept });
    return kept;
  });
}

/** Whether two facts of one pattern alone say the same beside the others. */
const same = (a: PatternFacts, b: PatternFacts): boolean =>
  JSON.stringify([a.names, a.alike, a.parts]) === JSON.stringify([b.names, b.alike, b.parts]);
