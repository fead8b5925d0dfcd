/** A sample made to be heard by itself: a routine of one section that is kept nowhere. Pure. */
import type { Pattern, Routine, Sample, Section } from "../../schemas/routine.ts";

const baby: Pattern = {
  id: "listen",
  name: "Forward and back",
  record: {
    step: "1/8",
    strokes: [
      { move: "forward", travel: 90 },
      { move: "back", travel: 90 },
      { move: "forward", travel: 90 },
      { move: "back", travel: 90 },
    ],
  },
  fader: { step: "1/2", cells: [{ fader: "open" }] },
};
/** Let go: the record turns with the platter. */
const released: Pattern = {
  id: "listen-released",
  name: "Let go",
  record: { step: "1/2", strokes: [{ move: "forward", shape: "released" }] },
  fader: { step: "1/2", cells: [{ fader: "open" }] },
};

const alone = (section: Partial<Section>): Section => ({
  id: "listen-by-itself",
  bars: 2,
  meter: "4/4",
  tempo: 92,
  placements: [],
  ...section,
});

/** A bar let go from the cue, and a bar moved by hand. */
export function sampleAlone(routine: Routine, heard: Sample): Routine {
  const sample = heard.id;
  const section = alone({
    placements: [
      { pattern: released.id, bar: 1, sample, lasts: { bars: 1 } },
      { pattern: baby.id, bar: 2, sample, lasts: { bars: 1 } },
    ],
  });
  // Its sample alone: the others need not be made ready first.
  const rig = { ...routine.rig, samples: [heard] };
  return { ...routine, rig, patterns: [baby, released], beats: [], sections: [section] };
}
