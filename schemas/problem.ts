/** What the program has to say about a routine. The catalogue of codes is server/routine/catalogue.ts. */
import { z } from "zod";

export const ProblemCode = z.enum([
  "not-json",
  "wrong-format",
  "newer-version",
  "unknown-field",
  "missing-field",
  "wrong-type",
  "out-of-range",
  "duplicate-id",
  "unknown-pattern",
  "unknown-beat",
  "unknown-sample",
  "unknown-cue",
  "finer-than-clock",
  "not-on-a-hold",
  "released-backward",
  "hit-outside-beat",
  "start-outside-cycle",
  "opening-too-long",
  "past-section-end",
  "two-phrases",
  "nothing-to-carry-on",
  "two-starts",
  "silent-pattern",
  "join-too-fast",
  "beyond-your-limits",
  "sample-runs-out",
  "loose-landing",
  "over-time",
]);
export const Problem = z.strictObject({
  code: ProblemCode,
  severity: z.enum(["error", "warning"]),
  /** JSON Pointer, RFC 6901. */
  place: z.string(),
  message: z.string(),
});
export type ProblemCode = z.infer<typeof ProblemCode>;
export type Problem = z.infer<typeof Problem>;
