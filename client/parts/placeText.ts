/** A place of the routine in words. */
import type { Place } from "../../schemas/soundWire.ts";
import type { Opened } from "../state/opened.ts";
import { beatUnits, countText } from "./music.ts";

/** "Ring Road, bar 3, beat 2 1/2"; nothing where the section is not there. */
export function placeText({ routine, performance }: Opened, { section: id, at }: Place): string {
  const index = routine.sections.findIndex((one) => one.id === id);
  const section = routine.sections[index];
  const bar = performance.sections[index]?.performance.bar;
  if (section === undefined || bar === undefined) return "";
  const number = Math.floor(at / bar);
  return `${section.name ?? id}, bar ${number + 1}, beat ${countText(at - number * bar, beatUnits(section.meter))}`;
}
