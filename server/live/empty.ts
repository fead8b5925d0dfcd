/** A routine to begin from: one section, nothing in it. */
import { FORMAT, type Routine, VERSION } from "../../schemas/routine.ts";

export const emptyRoutine = (title: string): Routine => ({
  format: FORMAT,
  version: VERSION,
  title,
  patterns: [],
  beats: [],
  sections: [{ id: "section-1", name: "Section 1", bars: 8, meter: "4/4", tempo: 92, placements: [] }],
});
