/** Figures and places in the words that messages and tables share. */
import type { Placement, Section } from "../../schemas/routine.ts";

/** "4.5" or "12": as many digits as one reads at a glance. */
export const short = (value: number): string => String(Number(value.toPrecision(3)));

/** "1 step", "3/2 steps". @param count as text */
export const plural = (count: string, one: string): string => `${count} ${one}${count === "1" ? "" : "s"}`;

/** How a thing is called: by its name, by its id where it has none. */
export const called = ({ id, name }: { readonly id: string; readonly name?: string | undefined }): string =>
  name === undefined || name === "" ? id : name;

/** "Ring Road, bar 3": the musical words for a placement. */
export const placeName = (section: Section, placement: Placement): string =>
  `${called(section)}, ${placement.bar > 0 ? `bar ${placement.bar}` : `pickup bar ${placement.bar}`}`;

/** Degrees as hours on a clock face, 30 to the hour: "1.5 clock hours (45 degrees) back". */
export function way(degrees: number): string {
  const size = Math.abs(degrees);
  if (size === 0) return "nowhere";
  return `${plural(short(size / 30), "clock hour")} (${short(size)} degrees) ${degrees < 0 ? "back" : "forward"}`;
}
