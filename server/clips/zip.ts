/** All clips and their table as one zip: fixed dates, stored in order, so that the same routine is the same bytes. */
import { zipSync } from "fflate";
import type { Performance } from "../../schemas/performance.ts";
import type { Routine } from "../../schemas/routine.ts";
import type { Clips } from "./clipFiles.ts";
import { sectionTable } from "./table.ts";

/** The zip format counts from 1980, in local time: midday, so that no time zone moves the day. */
const DATE = new Date(1980, 0, 1, 12);

export function zipOfClips(routine: Routine, performance: Performance, { files }: Clips): Uint8Array {
  const entries: Record<string, Uint8Array> = {};
  for (const { name, bytes } of files) entries[name] = bytes;
  entries["sections.csv"] = new TextEncoder().encode(sectionTable(routine, performance, files));
  return zipSync(entries, { level: 0, mtime: DATE });
}
