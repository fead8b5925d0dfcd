/** A recording that the program makes itself: a drawn beat as WAV, so that no sound need be shipped. */
import { type Beat, FORMAT, type Routine, VERSION } from "../../schemas/routine.ts";
import { compile } from "../routine/compile.ts";
import { timelineOf } from "../time/timeline.ts";
import { createClicks } from "./clicks.ts";
import { exportWav } from "./export.ts";
import { createKit } from "./kit.ts";
import { called } from "../routine/called.ts";

/** @returns a WAV file of so many bars, exactly as long as the music: the beat alone, as Export gives it */
export function tapeOf(beat: Beat, as: { meter: string; bars: number; tempo: number }): Uint8Array {
  const routine: Routine = {
    format: FORMAT,
    version: VERSION,
    title: called(beat),
    patterns: [],
    beats: [beat],
    sections: [{ id: "tape", ...as, beat: beat.id, placements: [] }],
  };
  const performance = compile(routine);
  const timeline = timelineOf(routine.sections, performance.sections);
  const sounds = { samples: new Map(), beats: new Map(), kit: createKit(), clicks: createClicks([]) };
  const { pieces } = exportWav(routine, performance, timeline, sounds, { part: "beat" });
  return Buffer.concat([...pieces()]);
}
