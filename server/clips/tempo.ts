/** Name, metre, tempo and markers of a track. */
import type { Section } from "../../schemas/routine.ts";
import { UNITS_PER_QUARTER, type Units } from "../../schemas/units.ts";
import { meterOf } from "../time/meter.ts";
import { secondsInto, startingTempo } from "../time/tempo.ts";
import type { Events } from "./events.ts";

/** Meta events of the standard. */
const TRACK_NAME = 0x03;
const MARKER = 0x06;
const TEMPO = 0x51;
const METER = 0x58;

const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text);
export const addName = (events: Events, text: string): void => events.meta(0, TRACK_NAME, utf8(text));
export const addMarker = (events: Events, tick: number, text: string): void =>
  events.meta(tick, MARKER, utf8(text));

/** The full four-byte form: 24 MIDI clocks a quarter, eight thirty-seconds a quarter. */
export function addMeter(events: Events, tick: number, meter: string): void {
  const { upper, lower } = meterOf({ meter });
  const clocks = Math.max(1, 96 / lower);
  // Its lower number stands as a power of two.
  events.meta(tick, METER, [upper, Math.log2(lower), clocks, 8]);
}

/** Microseconds a quarter hold 24 bits. */
function addMicroseconds(events: Events, tick: number, microseconds: number): void {
  const whole = Math.min(0xff_ffff, Math.max(1, Math.round(microseconds)));
  events.meta(tick, TEMPO, [whole >> 16, (whole >> 8) & 255, whole & 255]);
}

/**
 * The tempo of a section from tick `at` on. A ramp is an event each sixteenth; each takes as long as its sixteenth
 * really does, and what rounding to a microsecond a quarter leaves is made up by the next, so that at every sixteenth
 * the file is within half a microsecond a quarter of the exact time. Inside a sixteenth it strays by less than an
 * eighth of the sixteenth's length times the tempo's relative change over it (a chord of a nearly straight line).
 */
export function addTempo(
  events: Events,
  { tempo }: Pick<Section, "tempo">,
  length: Units,
  at: number,
  ppq: number,
): void {
  if (typeof tempo === "number" || tempo.from === tempo.to) {
    addMicroseconds(events, at, 60e6 / startingTempo(tempo));
    return;
  }
  const step = UNITS_PER_QUARTER / 4;
  let written = 0;
  for (let from = 0; from < length; from += step) {
    const to = Math.min(from + step, length);
    const quarters = (to - from) / UNITS_PER_QUARTER;
    const exact = secondsInto(tempo, length, to) * 1e6;
    const microseconds = Math.round((exact - written) / quarters);
    written += microseconds * quarters;
    addMicroseconds(events, at + Math.round((from * ppq) / UNITS_PER_QUARTER), microseconds);
  }
}
