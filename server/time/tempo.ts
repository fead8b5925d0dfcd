/** Tempo: quarter notes a minute, whatever the metre; constant, or a ramp linear in beats. */
import type { Section } from "../../schemas/routine.ts";
import { UNITS_PER_QUARTER, type Units } from "../../schemas/units.ts";

export type Tempo = Section["tempo"];

export const startingTempo = (tempo: Tempo): number => (typeof tempo === "number" ? tempo : tempo.from);

/**
 * Seconds from the start of a section of `length` units to `position` (units from there, possibly fractional).
 *
 * A ramp over B quarters from T0 to T1 has T(b) = T0 + (T1 − T0)·b/B; the integral of 60/T over b is
 * 60·B/(T1 − T0)·ln(1 + (T1 − T0)·b/(B·T0)). log1p keeps it exact where T1 is near T0.
 */
export function secondsInto(tempo: Tempo, length: Units, position: number): number {
  const quarter = position / UNITS_PER_QUARTER;
  if (typeof tempo === "number" || tempo.from === tempo.to) return (60 * quarter) / startingTempo(tempo);
  const change = (tempo.to - tempo.from) / (length / UNITS_PER_QUARTER);
  return (60 / change) * Math.log1p((change * quarter) / tempo.from);
}

/** The tempo at `position`, quarters a minute. */
export function tempoAt(tempo: Tempo, length: Units, position: number): number {
  return typeof tempo === "number" ? tempo : tempo.from + ((tempo.to - tempo.from) * position) / length;
}
