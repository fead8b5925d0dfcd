/** The metre of every placement as a table, and where each measure is published. */
import type { PlacementFacts } from "../../schemas/facts.ts";
import { type BarFigures, MEASURES, type RhythmFigures } from "../../schemas/metre.ts";
import { short } from "../facts/words.ts";

const RHYTHM = ["perQuarter", "evenness", "npvi"] as const satisfies readonly (keyof RhythmFigures)[];
const BAR = ["lhl", "keith", "offBeats"] as const satisfies readonly (keyof BarFigures)[];
const LAST = ["wnbd", "complexity"] as const;
const ALL = [...RHYTHM, ...BAR, ...LAST];

export const METRE_HEADING = [
  "Placement",
  ...ALL.map((measure) => MEASURES[measure].name),
  "pulls most from",
  "most, and least, of a repeat (LHL)",
];

/** One line; of a placement without metre, dashes. @param where "Ring Road, bar 3" */
export function metreRow(where: string, { metre }: PlacementFacts): string[] {
  if (metre === null) return [where, ...METRE_HEADING.slice(1).map(() => "–")];
  const { rhythm, whole, repeats, pullsMost } = metre;
  const strengths = repeats.map(({ lhl }) => lhl);
  return [
    where,
    ...RHYTHM.map((measure) => (rhythm[measure] === null ? "–" : short(rhythm[measure]))),
    ...BAR.map((measure) => short(whole[measure])),
    whole.wnbd,
    short(whole.complexity),
    repeats[pullsMost]?.at ?? "–",
    `${short(Math.max(...strengths))}, ${short(Math.min(...strengths))}`,
  ];
}

/** "evenness: Demaine et al. 2009, …", a measure a line. */
export const SOURCES = ALL.map((measure) => `${MEASURES[measure].name}: ${MEASURES[measure].source}`);
