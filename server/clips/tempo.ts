/** Name, metre, tempo and markers of a track. */
import type { TimedSection } from "../../schemas/performance.ts";
import type { Section } from "../../schemas/routine.ts";
import { UNITS_PER_QUARTER } from "../../schemas/units.ts";
import { meterOf } from "../time/meter.ts";
import { secondsInto } from "../time/tempo.ts";
import type { Timed } from "./events.ts";
import { asBytes } from "./write.ts";

const meta = (tick: number, event: object): Timed => ({
  tick,
  rank: 0,
  event: { deltaTime: 0, meta: true, ...event } as Timed["event"],
});

export const nameEvent = (text: string): Timed => meta(0, { type: "trackName", text: asBytes(text) });
export const markerEvent = (tick: number, text: string): Timed =>
  meta(tick, { type: "marker", text: asBytes(text) });

/** The full four-byte form: 24 MIDI clocks a quarter, eight thirty-seconds a quarter. */
export function meterEvent(tick: number, meter: string): Timed {
  const { upper, lower } = meterOf({ meter });
  const metronome = Math.max(1, 96 / lower);
  return meta(tick, {
    type: "timeSignature",
    numerator: upper,
    denominator: lower,
    metronome,
    thirtyseconds: 8,
  });
}

/** Microseconds a quarter hold 24 bits. */
const tempoEvent = (tick: number, microseconds: number): Timed =>
  meta(tick, {
    type: "setTempo",
    microsecondsPerBeat: Math.min(0xff_ffff, Math.max(1, Math.round(microseconds))),
  });

/**
 * The tempo of a section from tick `at` on. A ramp is an event each sixteenth; each takes as long as its sixteenth
 * really does, and what rounding to a microsecond a quarter leaves is made up by the next, so that at every sixteenth
 * the file is within half a microsecond a quarter of the exact time. Inside a sixteenth it strays by less than an
 * eighth of the sixteenth's length times the tempo's relative change over it (a chord of a nearly straight line).
 */
export function tempoEvents(section: Section, length: TimedSection["end"], at: number, ppq: number): Timed[] {
  const { tempo } = section;
  if (typeof tempo === "number" || tempo.from === tempo.to) {
    return [tempoEvent(at, 60e6 / (typeof tempo === "number" ? tempo : tempo.from))];
  }
  const events: Timed[] = [];
  const step = UNITS_PER_QUARTER / 4;
  let written = 0;
  for (let from = 0; from < length; from += step) {
    const to = Math.min(from + step, length);
    const quarters = (to - from) / UNITS_PER_QUARTER;
    const exact = secondsInto(tempo, length, to) * 1e6;
    const microseconds = Math.round((exact - written) / quarters);
    written += microseconds * quarters;
    events.push(tempoEvent(at + Math.round((from * ppq) / UNITS_PER_QUARTER), microseconds));
  }
  return events;
}

export const leadInTempo = (section: Section): Timed =>
  tempoEvent(0, 60e6 / (typeof section.tempo === "number" ? section.tempo : section.tempo.from));
