/** The demo routine "Night Ferry". */
import type { Routine } from "../../schemas/routine.ts";

export const DEMO: Routine = {
  format: "countercut-routine",
  version: 1,
  title: "Night Ferry",
  patterns: [],
  beats: [],
  sections: [{ id: "a", bars: 1, meter: "4/4", tempo: 92, placements: [] }],
};
