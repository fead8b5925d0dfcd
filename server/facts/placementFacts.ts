/** What is worked out about each placement of a section. */
import { platterSpeed } from "../../schemas/rig.ts";
import type { PlacementFacts } from "../../schemas/facts.ts";
import type { MetreFacts } from "../../schemas/metre.ts";
import type { PlacedEvent, TimedSection } from "../../schemas/performance.ts";
import type { Pattern, PatternPlacement, Routine, Section } from "../../schemas/routine.ts";
import { combinedUnits } from "../routine/layout.ts";
import { limitsOf, patternsOf, sampleOf } from "../routine/lookups.ts";
import { meterOf } from "../time/meter.ts";
import type { Clock } from "./clock.ts";
import { comeRound } from "./comeRound.ts";
import { landing } from "./landing.ts";
import { metreOf } from "./metre.ts";
import { tradeNamesAt } from "./names.ts";
import { countSounds, phraseOf } from "./phrase.ts";
import { handFigures } from "./playability.ts";
import { runsOut } from "./runsOut.ts";

/** The events of one kind, by the placement they belong to. */
function byPlacement<Event extends { readonly placement: number }>(
  events: readonly Event[],
): Map<number, Event[]> {
  const groups = new Map<number, Event[]>();
  for (const event of events) {
    const group = groups.get(event.placement);
    if (group === undefined) groups.set(event.placement, [event]);
    else group.push(event);
  }
  return groups;
}

/** More sounds than these until the phrase comes round are not measured with every edit: it would be felt. */
const MOST_MEASURED = 4096;

const metres = new WeakMap<Pattern, Map<string, MetreFacts | null>>();

/** Remembered by pattern, metre and place in the bar: the same phrase often stands at the same place. */
function metreAt(pattern: Pattern, section: Section, start: number, repeats: number): MetreFacts | null {
  const meter = meterOf(section);
  const inside = ((start % meter.bar) + meter.bar) % meter.bar;
  const key = `${section.meter} ${inside}`;
  const known = metres.get(pattern) ?? new Map<string, MetreFacts | null>();
  metres.set(pattern, known);
  let metre = known.get(key);
  if (metre === undefined) {
    const most = Number(countSounds(phraseOf(pattern))) * repeats;
    metre = most > MOST_MEASURED ? null : metreOf(pattern, meter, inside);
    known.set(key, metre);
  }
  return metre;
}

/** Of every placement of a pattern, in the order of the file. @param index of the section in the routine */
export function placementFacts(
  routine: Routine,
  index: number,
  { start, performance }: TimedSection,
  clock: Clock,
): PlacementFacts[] {
  const section = routine.sections[index] as Section;
  const strokes = byPlacement(performance.strokes);
  const openings = byPlacement(performance.openings);
  const sounds = byPlacement(performance.sounds);
  const limits = limitsOf(routine.rig);
  const platter = platterSpeed(routine.rig, section.pitch);
  const beat = section.beat === undefined ? null : performance.beatLength;
  return performance.placed.flatMap((placed) => {
    if (placed.pattern === null) return [];
    const pattern = patternsOf(routine).get(placed.pattern) as Pattern;
    const placement = section.placements[placed.placement] as PatternPlacement;
    const { bars, repeats, repeatStarts, withBeatBars } = comeRound(
      placed.start,
      performance.bar,
      combinedUnits(pattern),
      beat,
    );
    const landed = landing(pattern, placed.end - placed.start);
    const played = {
      pattern,
      placement,
      placed,
      strokes: strokes.get(placed.placement) ?? [],
      openings: openings.get(placed.placement) ?? [],
    };
    return [
      {
        section: section.id,
        placement: placed.placement,
        comeRoundBars: bars,
        comeRoundRepeats: repeats,
        repeatStarts,
        comeRoundWithBeatBars: withBeatBars,
        landing: { steps: landed.steps },
        pattern: placed.pattern,
        repeats: landed.repeats,
        names: tradeNamesAt(pattern, slowest(placed, start, clock)),
        hands: handFigures(
          played,
          limits,
          (from, to) => clock.secondsBetween(start + from, start + to),
          (position) => clock.tempoIn(clock.sectionAt(start + position), start + position),
          platter,
        ),
        // Worked out where it is read: whoever prints the facts of a long routine may not want it.
        get metre() {
          return metreAt(pattern, section, placed.start, repeats);
        },
        runsOut: runsOut(
          sampleOf(routine.rig, placed.sample ?? undefined),
          routine.rig,
          sounds.get(placed.placement) ?? [],
        ),
      },
    ];
  });
}

/** The slowest tempo in a placement. A ramp is straight, so the ends of what it takes of each section tell. */
function slowest({ start, end }: PlacedEvent, offset: number, clock: Clock): number {
  const [from, to] = [offset + start, offset + end];
  let tempo = Number.POSITIVE_INFINITY;
  for (let index = clock.sectionAt(from); index <= clock.sectionAt(to - 1); index++) {
    const sectionStart = from - clock.into(index, from);
    tempo = Math.min(tempo, clock.tempoIn(index, Math.max(from, sectionStart)), clock.tempoIn(index, to));
  }
  return tempo;
}
