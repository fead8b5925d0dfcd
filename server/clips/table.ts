/** The plain table of sections (CSV, RFC 4180): start bar, start time, bars, tempo, metre, file names. */
import type { Performance } from "../../schemas/performance.ts";
import type { Routine } from "../../schemas/routine.ts";
import type { ClipFile } from "./clipFiles.ts";
import { called } from "../routine/called.ts";

const cell = (value: string | number): string => {
  const text = String(value);
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
};

/** Bars count from 1 with the lead-in; seconds from the start, to a millisecond. */
export function sectionTable(routine: Routine, performance: Performance, files: readonly ClipFile[]): string {
  const names = (section: number): string =>
    files
      .filter((file) => file.section === section)
      .map(({ name }) => name)
      .join(" ");
  const rows: (string | number)[][] = [
    ["start bar", "start time", "section", "bars", "tempo", "metre", "files"],
  ];
  let bar = 1;
  if (performance.leadInBars > 0) {
    const { tempo, meter } = routine.sections[0] as Routine["sections"][number];
    rows.push([
      1,
      "0.000",
      "Lead-in",
      performance.leadInBars,
      typeof tempo === "number" ? tempo : tempo.from,
      meter,
      names(-1),
    ]);
    bar += performance.leadInBars;
  }
  for (const [index, section] of routine.sections.entries()) {
    const { tempo } = section;
    rows.push([
      bar,
      (performance.sections[index]?.startSeconds ?? 0).toFixed(3),
      called(section),
      section.bars,
      typeof tempo === "number" ? tempo : `${tempo.from} to ${tempo.to}`,
      section.meter,
      names(index),
    ]);
    bar += section.bars;
  }
  return rows.map((row) => `${row.map(cell).join(",")}\r\n`).join("");
}
