/** How a part of a routine is practised: plain data, the user's own, remembered by the browser. */
import { z } from "zod";
import { CountIn, FASTEST, SLOWEST } from "./soundWire.ts";

/** What is heard, and who plays it. */
export const HeardParts = z.enum([
  /** Both hands, the beat, and the clicks where they are on. */
  "all",
  "beat",
  "click",
  /** A hand alone: the record with the fader open; the fader's openings as ticks. */
  "record",
  "fader",
  /** Hands apart, with the beat: the program plays the record and the user the fader; the other way round. */
  "my-fader",
  "my-record",
]);
export type HeardParts = z.infer<typeof HeardParts>;

const rounds = z.int().min(1).max(20);
/** Percent of the written tempo. */
const step = z.int().min(1).max(25);
const percent = z
  .int()
  .min(SLOWEST * 100)
  .max(FASTEST * 100);

/** The rules of a climb in tempo, in percent of the written tempo. */
export const ClimbRules = z.strictObject({
  start: percent,
  /** Never passed. */
  ceiling: percent,
  /** Up after so many good rounds in a row, by so much. */
  upAfter: rounds,
  upBy: step,
  /** Down after so many bad rounds in a row, by so much. */
  downAfter: rounds,
  downBy: step,
});
export type ClimbRules = z.infer<typeof ClimbRules>;

export const Drill = z.strictObject({
  heard: HeardParts,
  countIn: CountIn,
  /** Seconds between rounds, to bring the record back. */
  rest: z.number().min(0).max(60),
  /** Percent of the written tempo, where it does not climb. */
  tempo: percent,
  climbs: z.boolean(),
  climb: ClimbRules,
  /** Bars on each side of a join. */
  joinBars: z.int().min(1).max(8),
  /** Each so manyth round is silent; 0: none. */
  silentEvery: z.int().min(0).max(16),
  /** With the user's fader: a round is good by itself where at least this part of openings was met; 0: judged by hand. */
  goodFrom: z.number().min(0).max(1),
});
export type Drill = z.infer<typeof Drill>;

export const DRILL: Drill = {
  heard: "all",
  countIn: { count: 1, by: "bar" },
  rest: 2,
  tempo: 80,
  climbs: true,
  climb: { start: 60, ceiling: 105, upAfter: 2, upBy: 5, downAfter: 2, downBy: 5 },
  joinBars: 1,
  silentEvery: 0,
  goodFrom: 0.9,
};
