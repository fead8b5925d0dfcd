/** The demo routine as a robot needs it: what is meant, and its sound. */
import { samplesOf } from "../../schemas/rig.ts";
import { type Expected, expectedOf } from "../../server/recordings/expected.ts";
import { leadingPlayer } from "../../server/sound/placed.ts";
import { compile } from "../../server/routine/compile.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { createClicks } from "../../server/sound/clicks.ts";
import { createKit } from "../../server/sound/kit.ts";
import { sampleJob } from "../../server/sound/prepare.ts";
import { buildTables } from "../../server/sound/tables.ts";
import { timelineOf } from "../../server/time/timeline.ts";

let sounds: Parameters<typeof expectedOf>[3] | null = null;
export function demoSounds() {
  if (sounds === null) {
    const samples = new Map(
      samplesOf(DEMO.rig).flatMap((sample) => {
        const job = sampleJob(sample, DEMO.rig, null);
        return job === null ? [] : [[sample.id, buildTables(job.pcm, job.options)] as const];
      }),
    );
    sounds = { samples, beats: new Map(), kit: createKit(), clicks: createClicks([]) };
  }
  return sounds;
}

/** @param section id; the whole routine where left out */
export function demoExpected(section?: string): Expected {
  const performance = compile(DEMO);
  const timeline = timelineOf(DEMO.sections, performance.sections);
  const found = performance.sections.find((one) => one.performance.id === section);
  const { start, end } = found ?? { start: 0, end: performance.end };
  return expectedOf(DEMO, performance, timeline, demoSounds(), {
    from: start,
    to: end,
    speed: 1,
    player: leadingPlayer(performance),
  });
}

/** Seconds from the start of a stretch of the demo to a place in it. @param stretch id of its first section */
export function demoSeconds(
  stretch: string,
  { section, at }: { readonly section: string; readonly at: number },
): number {
  const { sections } = compile(DEMO);
  const timeline = timelineOf(DEMO.sections, sections);
  const startOf = (id: string): number =>
    sections.find((one) => one.performance.id === id)?.start ?? Number.NaN;
  return (
    timeline.secondsAt(startOf(section) + at, "straight") - timeline.secondsAt(startOf(stretch), "straight")
  );
}
