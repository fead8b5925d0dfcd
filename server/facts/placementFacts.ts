/** What is worked out about each placement of a section. */
import { platterSpeed } from "../../schemas/rig.ts";
import type { PlacementFacts } from "../../schemas/facts.ts";
import { once } from "../../schemas/once.ts";
import type { MetreFacts } from "../../schemas/metre.ts";
import type { PlacedEvent, SectionPerformance, TimedSection } from "../../schemas/performance.ts";
import type { Pattern, PatternPlacement, Routine, Section } from "../../schemas/routine.ts";
import { sameItems } from "../../schemas/sameItems.ts";
import { combinedUnits } from "../routine/layout.ts";
import { limitsOf, patternsOf, sampleOf } from "../routine/lookups.ts";
import { meterOf } from "../time/meter.ts";
import type { Clock } from "./clock.ts";
import { comeRound } from "./comeRound.ts";
import { landing } from "./landing.ts";
import { metreOf } from "./metre.ts";
import { tradeNamesAt } from "./names.ts";
import { countSounds, phraseOf } from "./phrase.ts";
import { type Hardest, handFigures, hardestOf } from "./playability.ts";
import { runsOut } from "./runsOut.ts";
import { Memory } from "../../schemas/memory.ts";

/** The events of one kind, by the placement they belong to. */
function byPlacement<Event extends { readonly placement: number }>(
  events: readonly Event[],
): ReadonlyMap<number, readonly Event[]> {
  const [first] = events;
  if (first !== undefined && events.every(({ placement }) => placement === first.placement))
    return new Map([[first.placement, events]]);
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

const metres = new Memory<Pattern, Map<string, MetreFacts | null>>();

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

/** What no tempo reaches: where the phrase falls against the bar, the beat and the sample. */
type Still = Omit<PlacementFacts, "names" | "hands">;
/** What hangs on the seconds that it takes, whatever the pitch slider and the limits. */
type Timed = Pick<PlacementFacts, "names"> & { readonly hardest: Hardest };
type Hands = PlacementFacts["hands"];

interface Kept<Value> {
  readonly uses: readonly unknown[];
  readonly value: Value;
}

interface Remembered {
  readonly still: Kept<Still>;
  readonly timed: Kept<Timed>;
  readonly hands: Kept<Hands>;
  readonly facts: PlacementFacts;
}

/** By where a placement came to lie, which is another object whenever one of its events is. */
const memory = new Memory<PlacedEvent, Remembered>();

function kept<Value>(
  before: Kept<Value> | undefined,
  uses: readonly unknown[],
  make: () => Value,
): Kept<Value> {
  return before !== undefined && sameItems(before.uses, uses) ? before : { uses, value: make() };
}

/**
 * Of every placement of a pattern, in the order of the file. What an edit did not reach is the same object as before,
 * also field by field. @param index of the section in the routine
 */
export function placementFacts(
  routine: Routine,
  index: number,
  { start, performance }: TimedSection,
  clock: Clock,
): PlacementFacts[] {
  const { rig } = routine;
  const section = routine.sections[index] as Section;
  const beat = section.beat === undefined ? null : performance.beatLength;
  // Only where something is new, which mostly it is not.
  const events = once(() => ({
    strokes: byPlacement(performance.strokes),
    openings: byPlacement(performance.openings),
    sounds: byPlacement(performance.sounds),
  }));
  return performance.placed.flatMap((placed) => {
    if (placed.pattern === null) return [];
    const pattern = patternsOf(routine).get(placed.pattern) as Pattern;
    const placement = section.placements[placed.placement] as PatternPlacement;
    const before = memory.get(placed);

    const still = kept(before?.still, [pattern, rig, section.id, section.meter, beat], (): Still => {
      const { bars, repeats, repeatStarts, withBeatBars } = comeRound(
        placed.start,
        performance.bar,
        combinedUnits(pattern),
        beat,
      );
      const landed = landing(pattern, placed.end - placed.start);
      return {
        section: section.id,
        placement: placed.placement,
        comeRoundBars: bars,
        comeRoundRepeats: repeats,
        repeatStarts,
        comeRoundWithBeatBars: withBeatBars,
        landing: { steps: landed.steps },
        pattern: placed.pattern as string,
        repeats: landed.repeats,
        metre: metreAt(pattern, section, placed.start, repeats),
        runsOut: runsOut(
          sampleOf(rig, placed.sample ?? undefined),
          rig,
          events().sounds.get(placed.placement) ?? [],
        ),
      };
    });

    const uses = [pattern, placement, ...timeOf(routine, index, start, placed, clock)];
    const timed = kept(before?.timed, uses, (): Timed => {
      const played = {
        pattern,
        placement,
        placed,
        strokes: events().strokes.get(placed.placement) ?? [],
        openings: events().openings.get(placed.placement) ?? [],
      };
      return {
        names: tradeNamesAt(pattern, slowest(placed, start, clock)),
        hardest: hardestOf(played, (from, to) => clock.secondsBetween(start + from, start + to)),
      };
    });

    const hands = kept(before?.hands, [timed, rig, section.pitch], (): Hands => {
      const tempoAt = (position: number): number =>
        clock.tempoIn(clock.sectionAt(start + position), start + position);
      return handFigures(timed.value.hardest, limitsOf(rig), tempoAt, platterSpeed(rig, section.pitch));
    });

    if (before?.still === still && before.timed === timed && before.hands === hands) return [before.facts];
    const facts = factsOf(still.value, timed.value, hands.value);
    memory.set(placed, { still, timed, hands, facts });
    return [facts];
  });
}

/** Field by field: put together by spreading, each would have a hidden class of its own, and edits make thousands. */
const factsOf = (still: Still, timed: Timed, hands: Hands): PlacementFacts => ({
  section: still.section,
  placement: still.placement,
  comeRoundBars: still.comeRoundBars,
  comeRoundRepeats: still.comeRoundRepeats,
  repeatStarts: still.repeatStarts,
  comeRoundWithBeatBars: still.comeRoundWithBeatBars,
  landing: still.landing,
  pattern: still.pattern,
  repeats: still.repeats,
  names: timed.names,
  hands,
  metre: still.metre,
  runsOut: still.runsOut,
});

/** Whether all that is placed lies within the section, so that no other section says when it is played. */
export const isWithin = ({ placed, length }: SectionPerformance): boolean =>
  placed.every(({ start, end }) => start >= 0 && end <= length);

/** All that says how long the music of a placement takes: of its own section, or the sections that it reaches into. */
function timeOf(
  { sections }: Routine,
  index: number,
  offset: number,
  { start, end }: PlacedEvent,
  clock: Clock,
): readonly unknown[] {
  const first = clock.sectionAt(offset + start);
  const last = clock.sectionAt(offset + end - 1);
  if (first === index && last === index) {
    const { tempo, swing, meter, bars } = sections[index] as Section;
    return [tempo, swing, meter, bars];
  }
  return [clock.into(first, offset + start), ...sections.slice(first, last + 1)];
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
