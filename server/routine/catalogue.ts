/** Every problem that the program can have with a routine. DEVELOPERS.md documents them; a test ties the two. */
import type { Problem, ProblemCode } from "../../schemas/problem.ts";

interface Entry {
  readonly severity: Problem["severity"];
  /** When it is said. */
  readonly when: string;
}

const error = (when: string): Entry => ({ severity: "error", when });
const warning = (when: string): Entry => ({ severity: "warning", when });

export const CATALOGUE: Readonly<Record<ProblemCode, Entry>> = {
  "not-json": error("the file is not JSON, or not UTF-8"),
  "wrong-format": error("it is JSON, but not a routine"),
  "newer-version": error("it was made by a later version of the program"),
  "unknown-field": error("a field that does not belong there, or stands there twice"),
  "missing-field": error("a field that must be there is not"),
  "wrong-type": error("a value of another kind than the field takes"),
  "out-of-range": error("a value beyond the bounds of its field"),
  "duplicate-id": error("two things in one list have the same id"),
  "unknown-pattern": error("a placement names a pattern that is not there"),
  "unknown-beat": error("a section names a beat that is not there"),
  "unknown-sample": error("a placement names a sample that the rig does not have"),
  "unknown-cue": error("a placement names a cue that its sample does not have"),
  "finer-than-clock": error("a length or position is no whole number of units"),
  "not-on-a-hold": error("a hold has a travel, a shape or times"),
  "released-backward": error("a released stroke moves back or holds, or has a travel or times"),
  "hit-outside-beat": error("a hit lies at or after the end of its beat"),
  "start-outside-cycle": error("recordFrom or faderFrom is past the cycle"),
  "opening-too-long": error("openFor is not shorter than its cell or split"),
  "past-section-end": error("a placement starts at or runs past the end of its section"),
  "two-phrases": error("two placements of one player overlap"),
  "nothing-to-carry-on": error("there is nothing that carriesOn or beatContinues could go on from"),
  "two-starts": error("a placement has both carriesOn and recordAt"),
  "silent-pattern": warning("a pattern that sounds nothing"),
  "join-too-fast": warning("there is too little time to bring the record to the next placement"),
  "beyond-your-limits": warning("the hands cannot do it at this tempo"),
  "sample-runs-out": warning("the record leaves a sample that does not repeat"),
  "loose-landing": warning("a phrase is cut within its combined cycle at the end of its placement"),
  "over-time": warning("the routine is longer than its time limit"),
};

/** The one way to make a problem. @param place JSON Pointer, RFC 6901 */
export const problem = (code: ProblemCode, place: string, message: string): Problem => ({
  code,
  severity: CATALOGUE[code].severity,
  place,
  message,
});

/** A JSON Pointer from its parts. */
export const pointer = (...parts: readonly PropertyKey[]): string =>
  parts.map((part) => `/${String(part).replaceAll("~", "~0").replaceAll("/", "~1")}`).join("");
