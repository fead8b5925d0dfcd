/** Where a practice sheet is found. */
import { addressOf } from "../state/place.ts";

/** What is on the sheet, as the address says it: "paper section cast-off", "paper phrase wake", "paper". */
export type Subject =
  | { readonly kind: "routine" }
  | { readonly kind: "section" | "phrase"; readonly id: string };
export function subjectOf(of: string): Subject | null {
  const match = /^paper(?: (section|phrase) (\S+))?$/.exec(of);
  if (match === null) return null;
  return match[1] === undefined
    ? { kind: "routine" }
    : { kind: match[1] as "section" | "phrase", id: match[2] ?? "" };
}
export const partOf = (subject: Subject): string =>
  subject.kind === "routine" ? "paper" : `paper ${subject.kind} ${subject.id}`;
export const paperOf = (subject: Subject): string => addressOf("routine", partOf(subject));
