/** Bar rows made of a sketch, as the server would work them out of a phrase. Pure. */
import { DEFAULT_VELOCITY } from "../../schemas/routine.ts";
import type { Degrees, Units } from "../../schemas/units.ts";
import type { Row } from "../rows/content.ts";
import type { Sketch } from "./helpPictures.ts";
import { unitsOfText } from "./music.ts";

const STEP = unitsOfText("1/16");
const units = (steps: number): Units => Math.round(steps * STEP) as Units;

/** What one player does in it. */
function handsOf({ strokes, open }: Pick<Sketch, "strokes" | "open">, placement: number) {
  const own = { owner: 0, placement };
  const strokeEvents = strokes.map(([from, to, direction, degrees = 45]) => ({
    ...own,
    start: units(from),
    end: units(to),
    fullEnd: units(to),
    direction,
    shape: "eased" as const,
    from: 0 as Degrees,
    to: (direction === "hold" ? 0 : degrees) as Degrees,
    fullTravel: degrees as Degrees,
  }));
  const openings = open.map(([from, to]) => ({ ...own, start: units(from), end: units(to) }));
  const sounds = strokeEvents.flatMap((stroke) =>
    stroke.direction === "hold"
      ? []
      : openings.flatMap((opening) => {
          const start = Math.max(stroke.start, opening.start) as Units;
          const end = Math.min(stroke.end, opening.end) as Units;
          const onset = opening.start >= stroke.start ? ("cut" as const) : ("turn" as const);
          const { direction, from, to } = stroke;
          return start < end && direction !== "hold"
            ? [{ ...own, start, end, direction, onset, from, to }]
            : [];
        }),
  );
  return { strokes: strokeEvents, openings, sounds };
}

/** General MIDI percussion: bass drum and snare. */
const LOW = 36;
const HIGH = 38;

/** What the rows draw, one a bar. */
export function rowsOf(sketch: Sketch): readonly Row[] {
  const { bar, bars = 1, recordGroup, faderGroup, second, beat = [[], []], rests = [] } = sketch;
  const whole = bar * bars;
  const groups = (size: number | undefined) =>
    size === undefined
      ? []
      : Array.from({ length: Math.ceil(whole / size) }, (_, index) => ({
          start: units(index * size),
          end: units(Math.min(whole, (index + 1) * size)),
          round: index,
          player: 1,
        }));
  const hands = [sketch, ...(second === undefined ? [] : [second])].map(handsOf);
  const placed = hands.map((_, placement) => ({
    owner: 0,
    placement,
    player: placement + 1,
    start: 0 as Units,
    end: units(whole),
    pattern: "sketch",
    words: null,
    sample: null,
    from: 0 as Degrees,
    to: 0 as Degrees,
    recordGroups: [],
    faderGroups: [],
  }));
  return Array.from({ length: bars }, (_, index) => {
    const start = units(index * bar);
    const end = units((index + 1) * bar);
    const here = <Event extends { readonly start: number; readonly end: number }>(events: readonly Event[]) =>
      events.filter((event) => event.start < end && event.end > start);
    const hits = (steps: readonly number[], key: number) =>
      rests.includes(index + 1)
        ? []
        : steps.map((at) => ({ at: units(index * bar + at), key, velocity: DEFAULT_VELOCITY }));
    return {
      number: index + 1,
      start,
      placed,
      strokes: here(hands.flatMap(({ strokes }) => strokes)),
      openings: here(hands.flatMap(({ openings }) => openings)),
      sounds: here(hands.flatMap(({ sounds }) => sounds)),
      beat: [...hits(beat[0], LOW), ...hits(beat[1], HIGH)],
      beatStarts: [],
      recordGroups: here(groups(recordGroup)),
      faderGroups: here(groups(faderGroup)),
    };
  });
}
export const playersOf = ({ second }: Sketch): readonly number[] => (second === undefined ? [1] : [1, 2]);
export const barOf = ({ bar }: Sketch): Units => units(bar);
export const QUARTER = unitsOfText("1/4");
