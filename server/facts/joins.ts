/**
 * How one placement leads to the next of the same player: how long there is, how far the record must be brought to
 * the same sound, at what speed, and whether the hands can do it.
 */
import { platterSpeed } from "../../schemas/rig.ts";
import type { JoinFacts, Verdict } from "../../schemas/facts.ts";
import type {
  Performance,
  PlacedEvent,
  SectionPerformance,
  TimedSection,
} from "../../schemas/performance.ts";
import type { Limits, PatternPlacement, Routine, Section } from "../../schemas/routine.ts";
import { limitsOf, repeatsEvery, sampleOf } from "../routine/lookups.ts";
import { type Clock, clockOf } from "./clock.ts";
import { atMost, isSame } from "./tolerance.ts";
import { Memory } from "../../schemas/memory.ts";

/** A placement where it stands in the routine. */
interface Standing {
  readonly section: number;
  readonly placed: PlacedEvent;
  readonly performance: SectionPerformance;
  /** Units from the start of the routine. */
  readonly start: number;
  readonly end: number;
}

const arrival = (a: Standing, b: Standing): number =>
  a.start - b.start || a.section - b.section || a.placed.placement - b.placed.placement;

const stood = new Memory<TimedSection, readonly Standing[]>();

/** A section's own, in the order of the file; remembered while it stands where it stands. */
function standingsIn(timed: TimedSection, section: number): readonly Standing[] {
  const known = stood.get(timed);
  if (known !== undefined && (known.length === 0 || known[0]?.section === section)) return known;
  const { start, performance } = timed;
  const own = performance.placed.map((placed): Standing => {
    return { section, placed, performance, start: start + placed.start, end: start + placed.end };
  });
  stood.set(timed, own);
  return own;
}

/** Every placement, words included, in the order of arrival; those that start together by section, then index. */
function standings({ sections }: Performance): Standing[] {
  const all: Standing[] = [];
  let inOrder = true;
  sections.forEach((timed, section) => {
    for (const here of standingsIn(timed, section)) {
      const last = all[all.length - 1];
      inOrder &&= last === undefined || arrival(last, here) <= 0;
      all.push(here);
    }
  });
  // Mostly they are: only pickups, and lists that are not written in order, are not.
  return inOrder ? all : all.sort(arrival);
}

/**
 * The signed way from one position to the same sound as another, in degrees: the shortest, exactly half a repeat
 * forward. @param every degrees after which the sample repeats; 0: it does not
 */
export function shortestWay(from: number, to: number, every: number): number {
  const straight = to - from;
  if (every === 0) return straight;
  const rest = straight - every * Math.floor(straight / every);
  // Positions carry the rounding of long sums, so a whole repeat is none, and half of one is judged as such.
  const size = Math.max(Math.abs(from), Math.abs(to), every);
  if (rest <= NOISE * size || every - rest <= NOISE * size) return 0;
  if (isSame(rest, every / 2)) return every / 2;
  return rest < every / 2 ? rest : rest - every;
}

/** Rounding of doubles over some thousands of sums; far below what can be heard or written. */
const NOISE = 1e-12;

function verdictOf(
  limits: Limits,
  arrives: PatternPlacement["arrives"],
  { seconds, moveDegrees, speed }: Pick<JoinFacts, "seconds" | "moveDegrees" | "speed">,
): Verdict {
  if (arrives === "cue") return "flows";
  if (moveDegrees === null) return atMost(limits.changeSeconds, seconds) ? "reset" : "beyond your limits";
  if (atMost(Math.abs(moveDegrees), limits.unheardDegrees)) return "flows";
  return speed !== null && atMost(speed, limits.speed) ? "reset" : "beyond your limits";
}

function judge(routine: Routine, clock: Clock, from: Standing, to: Standing): JoinFacts {
  const { rig } = routine;
  const leadsInto = routine.sections[to.section] as Section;
  const placement = leadsInto.placements[to.placed.placement] as PatternPlacement;
  const sample = sampleOf(rig, to.placed.sample ?? undefined);
  const sampleChanges = from.placed.sample !== to.placed.sample;
  const seconds = clock.secondsBetween(from.end, to.start);
  const moveDegrees = sampleChanges
    ? null
    : shortestWay(from.placed.to, to.placed.from, repeatsEvery(sample));
  const speed =
    moveDegrees === null || from.end === to.start || placement.arrives === "cue"
      ? null
      : Math.abs(moveDegrees) / seconds / platterSpeed(rig, leadsInto.pitch);
  return {
    from: { section: from.performance.id, placement: from.placed.placement },
    to: { section: to.performance.id, placement: to.placed.placement },
    seconds,
    moveDegrees,
    speed,
    faderOpen: from.end === to.start && edgesOf(from).openAtEnd && edgesOf(to).openAtStart,
    sampleChanges,
    verdict: verdictOf(limitsOf(rig), placement.arrives, { seconds, moveDegrees, speed }),
    player: to.placed.player,
  };
}

interface Edges {
  readonly openAtStart: boolean;
  readonly openAtEnd: boolean;
}

const CLOSED: Edges = { openAtStart: false, openAtEnd: false };
const edges = new Memory<SectionPerformance, ReadonlyMap<number, Edges>>();

/** Whether the fader is open at a placement's very start and end. */
function edgesOf({ performance, placed }: Standing): Edges {
  let known = edges.get(performance);
  if (known === undefined) {
    const found = new Map<number, Edges>();
    const places = new Map(performance.placed.map((one) => [one.placement, one]));
    for (const { placement, start, end } of performance.openings) {
      const place = places.get(placement) as PlacedEvent;
      const before = found.get(placement) ?? CLOSED;
      found.set(placement, {
        openAtStart: before.openAtStart || start === place.start,
        openAtEnd: before.openAtEnd || end === place.end,
      });
    }
    known = found;
    edges.set(performance, known);
  }
  return known.get(placed.placement) ?? CLOSED;
}

/** What a join was judged on, compared one by one. */
interface Judged {
  readonly before: PlacedEvent;
  /** Id of its section. */
  readonly from: string;
  readonly rig: Routine["rig"];
  /** Those from where the one ends to where the other starts, and the one that owns the other. */
  readonly sections: readonly Section[];
  readonly owner: Section;
  /** Units from the start of the first and the last of them. */
  readonly end: number;
  readonly start: number;
  readonly join: JoinFacts;
}

const memory = new Memory<PlacedEvent, Judged>();

/** Whether the sections from index `first` to `home` are those, without making a list of them. */
function areSections(known: readonly Section[], sections: readonly Section[], first: number, home: number) {
  if (known.length !== home - first + 1) return false;
  for (let index = first; index <= home; index++) if (known[index - first] !== sections[index]) return false;
  return true;
}

/**
 * Every join of the routine in the order of arrival, by the index of the section that it leads into. What an edit
 * did not touch is the same object as before.
 */
export function joinsOf(routine: Routine, performance: Performance): { section: number; join: JoinFacts }[] {
  const clock = clockOf(routine, performance);
  const last = new Map<number, Standing>();
  const joins: { section: number; join: JoinFacts }[] = [];
  for (const here of standings(performance)) {
    const before = last.get(here.placed.player);
    last.set(here.placed.player, here);
    if (before === undefined || before.placed.pattern === null || here.placed.pattern === null) continue;
    const home = clock.sectionAt(here.start);
    const first = before.end === here.start ? home : clock.sectionAt(before.end);
    const owner = routine.sections[here.section] as Section;
    const end = clock.into(first, before.end);
    const start = clock.into(home, here.start);
    const known = memory.get(here.placed);
    const asBefore =
      known !== undefined &&
      known.before === before.placed &&
      known.from === before.performance.id &&
      known.rig === routine.rig &&
      known.owner === owner &&
      known.end === end &&
      known.start === start &&
      areSections(known.sections, routine.sections, first, home);
    let join: JoinFacts;
    if (asBefore) join = known.join;
    else {
      join = judge(routine, clock, before, here);
      const sections = routine.sections.slice(first, home + 1);
      const from = before.performance.id;
      memory.set(here.placed, {
        before: before.placed,
        from,
        rig: routine.rig,
        sections,
        owner,
        end,
        start,
        join,
      });
    }
    joins.push({ section: here.section, join });
  }
  return joins;
}
