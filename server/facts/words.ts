/** Figures and places in the words that messages and tables share. */
import type { Placement, Section } from "../../schemas/routine.ts";
import { barWords, called, plural } from "../routine/called.ts";

/** "4.5" or "12": as many digits as one reads at a glance. */
export const short = (value: number): string => String(Number(value.toPrecision(3)));

/** "Ring Road, bar 3": the musical words for a placement. */
export const placeName = (section: Section, placement: Placement): string =>
  `${called(section)}, ${barWords(placement.bar)}`;

/** Degrees as hours on a clock face, 30 to the hour: "1.5 clock hours (45 degrees) back". */
export function way(degrees: number): string {
  const size = Math.abs(degrees);
  if (size === 0) return "nowhere";
  return `${plural(short(size / 30), "clock hour")} (${short(size)} degrees) ${degrees < 0 ? "back" : "forward"}`;
}
