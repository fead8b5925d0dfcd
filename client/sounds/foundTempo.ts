/** Tempo and first beat of a recording, as the server finds them, and what a beat makes of that. */
import type { Beat } from "../../schemas/routine.ts";
import { unitsOfText } from "../parts/music.ts";
import { askJson } from "../state/ask.ts";
import { opened } from "../state/shown.ts";
import type { Sound } from "./decode.ts";
import { homeOfBeat, sixteenthsIn, tidySeconds, tidyTempo } from "./recordedBeats.ts";
import { trouble, work } from "./soundFiles.ts";

export type Recorded = NonNullable<Beat["recorded"]>;
export interface Found {
  readonly tempo: number;
  readonly firstBeat: number;
}

/** Asks the server for tempo and first beat. @returns null where none can be found: `trouble` says so */
export async function find(file: string): Promise<Found | null> {
  const routine = opened.value?.name ?? "";
  work.value = `Finding the tempo of ${file} …`;
  const path = `/routines/${encodeURIComponent(routine)}/sounds/${encodeURIComponent(file)}/tempo`;
  const got = await askJson<Found & { readonly problem?: string }>(path);
  work.value = null;
  const why = "why" in got ? `The tempo could not be found. ${got.why}` : got.answer.problem;
  if ("answer" in got && why === undefined) return got.answer;
  trouble.value = why ?? null;
  return null;
}

/** Where no tempo can be found, one to begin with. */
const BEGIN: Found = { tempo: 90, firstBeat: 0 };

/** In the beat's own steps: whole bars of the section that plays it. */
export function stepsFor(beat: Beat, seconds: number, firstBeat: number, tempo: number): number {
  const sixteenth = unitsOfText("1/16");
  const bar = unitsOfText(homeOfBeat(opened.value?.routine.sections ?? [], beat.id)?.meter ?? "4/4");
  const sixteenths = sixteenthsIn(seconds, firstBeat, tempo, bar / sixteenth);
  return Math.max(1, Math.round((sixteenths * sixteenth) / unitsOfText(beat.step)));
}

/** What makes a beat play a sound, with tempo and first beat as found. */
export async function recordedFrom(
  beat: Beat,
  file: string,
  sound: Sound,
): Promise<{ steps: number; recorded: Recorded }> {
  const found = (await find(file)) ?? BEGIN;
  const tempo = tidyTempo(found.tempo);
  const firstBeat = tidySeconds(found.firstBeat);
  return {
    steps: stepsFor(beat, sound.seconds, firstBeat, tempo),
    recorded: { file, tempo, ...(firstBeat === 0 ? {} : { firstBeat }) },
  };
}
