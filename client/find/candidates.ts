/** Phrases that are offered: those of a page as one draft, so that the server works out what is seen of each. Pure. */
import type { SingleEdit } from "../../schemas/edit.ts";
import type { Neighbour, Neighbours } from "../../schemas/neighbours.ts";
import type { Found } from "../../schemas/find.ts";
import type { Pattern, Routine, Section } from "../../schemas/routine.ts";
import { aloneSection, roomFor, tempoOf } from "../write/phrase.ts";
import { patternOf, type Wish } from "./wish.ts";

export interface Candidate {
  readonly pattern: Pattern;
  readonly combinedSteps: string;
  readonly comeRoundBars: number;
  readonly comeRoundRepeats: number;
  readonly difficulty: number | null;
  /** What it was sorted by, in words, where that is not its difficulty. */
  readonly ranked: string | null;
  /** Of a neighbour: the change that makes it, and how much harder it is. */
  readonly says: string | null;
  readonly harder: number | null;
}

export const ofFound = (found: Found, { step, close, by }: Wish): Candidate => ({
  pattern: patternOf(found, step, close),
  combinedSteps: found.combinedSteps,
  comeRoundBars: found.comeRoundBars,
  comeRoundRepeats: found.comeRoundRepeats,
  difficulty: found.difficulty,
  ranked:
    found.rankedAt === undefined || by === "difficulty" || by === "listing"
      ? null
      : `${by} ${Number(found.rankedAt.toFixed(3))}`,
  says: null,
  harder: null,
});

export const ofNeighbour = (one: Neighbour, here: Neighbours["here"]): Candidate => ({
  pattern: one.pattern,
  combinedSteps: one.combinedSteps,
  comeRoundBars: one.comeRoundBars,
  comeRoundRepeats: one.comeRoundRepeats,
  difficulty: one.difficulty,
  ranked: null,
  says: one.says,
  harder: one.difficulty === null || here.difficulty === null ? null : one.difficulty - here.difficulty,
});

/** Candidates that are seen at once. */
export const PAGE = 12;
/** Id of the section that holds a page of them, each a bar; no routine of the folder keeps it. */
export const FINDS_ID = "phrases-found";

/** Ids for a page of candidates that no pattern of the routine has. */
function idsFor(routine: Routine, count: number): string[] {
  const taken = new Set(routine.patterns.map(({ id }) => id));
  const ids: string[] = [];
  for (let number = 1; ids.length < count; number++)
    if (!taken.has(`found-${number}`)) ids.push(`found-${number}`);
  return ids;
}

/**
 * The page and the one in hand, to be drafted: each candidate from the first beat of a bar of its own, and the one in
 * hand until it comes round. @param home lends metre, tempo, swing and beat
 */
export function pageEdits(
  routine: Routine,
  home: Section,
  page: readonly Candidate[],
  inHand: number,
): SingleEdit[] {
  const ids = idsFor(routine, page.length);
  const patterns = page.map(({ pattern }, index) => ({ ...pattern, id: ids[index]! }));
  const { beat: _, beatContinues: __, beatRests: ___, ...rest } = home;
  const section: Section = {
    ...rest,
    id: FINDS_ID,
    tempo: tempoOf(home),
    bars: page.length,
    placements: patterns.map(({ id }, index) => ({ pattern: id, bar: index + 1, lasts: { bars: 1 } })),
  };
  const chosen = patterns[inHand];
  return [
    ...roomFor(2, routine),
    ...patterns.map((pattern) => ({ kind: "add-pattern" as const, pattern })),
    { kind: "add-section", section, before: null },
    ...(chosen === undefined
      ? []
      : [{ kind: "add-section" as const, section: aloneSection(home, chosen), before: null }]),
  ];
}
