/** What a rig means where it leaves something out. */
import type { Rig, Sample } from "./routine.ts";

/** A rig without samples has the one built-in vowel. */
export const DEFAULT_SAMPLES: readonly Sample[] = [{ id: "vowel", builtIn: "vowel" }];

export const samplesOf = (rig: Rig | undefined): readonly Sample[] =>
  rig?.samples === undefined || rig.samples.length === 0 ? DEFAULT_SAMPLES : rig.samples;

/** 33 1/3, 45 and 78 r/min (IEC 60098) in degrees a second. */
const PLATTER_DEGREES = { 33: 200, 45: 270, 78: 468 } as const;

/** Degrees a second of the platter, its pitch slider at `pitch` percent. */
export const platterSpeed = (rig: Rig | undefined, pitch = 0): number =>
  PLATTER_DEGREES[rig?.platter ?? 33] * (1 + pitch / 100);
