/**
 * From a checked routine to its Performance, a section at a time.
 *
 * Every placement has a HOME: the section in whose time it starts (the first section for the lead-in). That is its
 * own section, but for a pickup. Sections are gone through in order; what one leaves to the next is a small
 * hand-over a player (where the record stands, whether the fader is open, how the record last moved, on which
 * sample). A section is compiled anew only when something it uses is another value than the last time, so an edit
 * costs what it touches: results are remembered by the identity of the immutable section.
 */
import { platterSpeed } from "../../schemas/rig.ts";
import type {
  BeatEvent,
  Performance,
  PlacedEvent,
  SectionPerformance,
  TimedSection,
} from "../../schemas/performance.ts";
import {
  type Beat,
  isWords,
  type Placement,
  type Rig,
  type Routine,
  type Section,
} from "../../schemas/routine.ts";
import type { Degrees, Seconds, Units } from "../../schemas/units.ts";
import { compilePlacement, type HandOver, NOTHING_BEFORE, type PlacementEvents } from "../hands/placement.ts";
import { meterOf } from "../time/meter.ts";
import { secondsInto, startingTempo } from "../time/tempo.ts";
import { bentInSection, swingOf } from "../time/timeline.ts";
import { compileBeat, beatLength } from "./beat.ts";
import { layOut, type SectionLayout, type Spot } from "./layout.ts";
import { beatsOf, patternsOf, sampleOf } from "./lookups.ts";

/** What a player leaves at the end of a section; only where a placement ends there or beyond. */
interface Carry extends HandOver {
  readonly player: number;
  /** Units after the section's end at which the placement ends. */
  readonly past: number;
  readonly sample: string;
}

interface Compiled {
  readonly placed: PlacedEvent;
  readonly events: PlacementEvents | null;
}

/** A spot, and the section that owns it. */
interface Homed {
  readonly spot: Spot;
  readonly owner: number;
}

interface Remembered {
  /** What the result depends on: these five, and what concerns visitors and placements left out. */
  readonly layout: SectionLayout;
  readonly rig: Rig | undefined;
  readonly beat: Beat | undefined;
  readonly phase: number;
  readonly carryIn: readonly Carry[];
  readonly others: readonly unknown[];
  readonly own: readonly Compiled[];
  /** Pickups of later sections that start here, in order of `Homed`. */
  readonly guests: ReadonlyMap<Placement, Compiled>;
  readonly carry: readonly Carry[];
  readonly hits: readonly BeatEvent[];
  /** Units into the beat at the section's end. */
  readonly phaseAfter: number;
  readonly seconds: number;
  /** The whole section, with the pickups that other sections compiled for it. */
  assembled: { readonly pickups: readonly Compiled[]; readonly performance: SectionPerformance } | null;
  /** Where it stood the last time. */
  timed: TimedSection | null;
}

/** A section's layout, and what it was made from. */
interface KnownLayout {
  readonly list: Routine["patterns"];
  readonly used: readonly unknown[];
  readonly layout: SectionLayout;
}

/** The routine compiled last, section by section. */
interface Before {
  readonly sections: readonly Section[];
  readonly layouts: readonly KnownLayout[];
  readonly homes: readonly Remembered[];
}

type Patterns = ReturnType<typeof patternsOf>;

const NO_CARRY: readonly Carry[] = [];
const NONE: ReadonlySet<Placement> = new Set();
const NO_GUESTS: readonly Homed[] = [];
const NO_PICKUPS: readonly Compiled[] = [];
const NO_OTHERS: readonly unknown[] = [];

const same = (a: readonly unknown[], b: readonly unknown[]): boolean =>
  a === b || (a.length === b.length && a.every((value, index) => Object.is(value, b[index])));

const sameCarry = (a: readonly Carry[], b: readonly Carry[]): boolean =>
  a === b ||
  (a.length === b.length &&
    a.every((one, index) => {
      const other = b[index] as Carry;
      return (
        one.player === other.player &&
        one.past === other.past &&
        one.sample === other.sample &&
        one.position === other.position &&
        one.faderOpen === other.faderOpen &&
        one.moved === other.moved
      );
    }));

/** Compiles `routine`; `without` are placements to leave out, so that a routine with a problem can still be heard. */
export type Compiler = (routine: Routine, without?: ReadonlySet<Placement>) => Performance;

/** A compiler that remembers sections between calls. The result is the same as that of a fresh one. */
export function createCompiler(): Compiler {
  const memory = new WeakMap<Section, Remembered>();
  const layouts = new WeakMap<Section, KnownLayout>();
  // Most sections stand where they stood before the edit: found there without a look-up.
  let before: Before = { sections: [], layouts: [], homes: [] };

  function layoutOf(
    section: Section,
    index: number,
    { patterns: list }: Routine,
    patterns: Patterns,
  ): KnownLayout {
    const known = before.sections[index] === section ? before.layouts[index] : layouts.get(section);
    if (known?.list === list) return known;
    const used = section.placements.map((one) => (isWords(one) ? undefined : patterns.get(one.pattern)));
    const layout = known !== undefined && same(known.used, used) ? known.layout : layOut(section, patterns);
    const fresh = { list, used, layout };
    layouts.set(section, fresh);
    return fresh;
  }

  /** What an edit took away would be kept as long as anything can go back to it: by far the most of an open routine. */
  function forget(were: readonly Section[], are: readonly Section[]): void {
    let still: ReadonlySet<Section> | null = null;
    for (const [index, section] of were.entries()) {
      if (are[index] === section) continue;
      still ??= new Set(are);
      if (still.has(section)) continue;
      memory.delete(section);
      layouts.delete(section);
    }
  }

  return function compile(routine, without = NONE) {
    const { sections, rig } = routine;
    const patterns = patternsOf(routine);
    const beats = beatsOf(routine);
    const layoutsHere = sections.map((section, index) => layoutOf(section, index, routine, patterns));
    const layout = (index: number): SectionLayout => (layoutsHere[index] as KnownLayout).layout;
    const section = (index: number): Section => sections[index] as Section;

    // Positions here count from the start of the first section; the lead-in is added at the end.
    const starts: number[] = [];
    let total = 0;
    for (const known of layoutsHere) {
      starts.push(total);
      total += known.layout.length;
    }
    const startOf = (index: number): number => starts[index] as number;

    const guests = guestsOf(layoutsHere, starts, without);

    /** Seconds between two positions (from the first section's start), with the hands' swing. */
    function secondsBetween(from: number, to: number, home: number, owner: number): number {
      const at = (position: number): number => {
        let index = home;
        while (index < owner && position >= startOf(index + 1)) index++;
        const { tempo } = section(index);
        const inside = position - startOf(index);
        if (inside < 0) return secondsInto(startingTempo(tempo), layout(index).length, inside);
        let seconds = 0;
        for (let earlier = home; earlier < index; earlier++) {
          seconds += secondsInto(section(earlier).tempo, layout(earlier).length, layout(earlier).length);
        }
        const bent = bentInSection(swingOf(section(index)), layout(index).length, inside, "hands");
        return seconds + secondsInto(tempo, layout(index).length, bent);
      };
      return at(to) - at(from);
    }

    /** Where a spot without a duration ends: at the next start of its player, or with its section. */
    function endOf({ spot, owner }: Homed, home: number, list: readonly Homed[]): number {
      const start = startOf(owner) + spot.start;
      if (spot.duration !== null) return start + spot.duration;
      const next = (candidates: readonly Homed[]): number | undefined => {
        for (const other of candidates) {
          const at = startOf(other.owner) + other.spot.start;
          if (other.spot.player === spot.player && at > start) return at;
        }
        return undefined;
      };
      const sectionEnd = startOf(owner) + layout(owner).length;
      let found = next(list);
      for (let index = home + 1; found === undefined && index <= owner; index++)
        found = next(homeList(index));
      return Math.min(found ?? sectionEnd, sectionEnd);
    }

    function homeList(index: number): readonly Homed[] {
      const list: Homed[] = [];
      for (const spot of layout(index).spots) {
        if (spot.start >= 0 && !without.has(spot.placement)) list.push({ spot, owner: index });
      }
      const visiting = guests[index];
      if (visiting === undefined) return list;
      const at = ({ spot, owner }: Homed): number => startOf(owner) + spot.start;
      return [...list, ...visiting].sort(
        (a, b) => at(a) - at(b) || a.owner - b.owner || a.spot.index - b.spot.index,
      );
    }

    function compileHome(index: number, carryIn: readonly Carry[], list: readonly Homed[]) {
      const own: Compiled[] = [];
      const foreign = new Map<Placement, Compiled>();
      const carries = new Map<number, Carry & { readonly end: number }>();
      for (const carry of carryIn) carries.set(carry.player, { ...carry, end: startOf(index) + carry.past });
      for (const homed of list) {
        const { spot, owner } = homed;
        const { placement, player } = spot;
        const start = startOf(owner) + spot.start;
        const end = endOf(homed, index, list);
        const placed = {
          placement: spot.index,
          player,
          start: spot.start as Units,
          end: (end - startOf(owner)) as Units,
        };
        let compiled: Compiled;
        if (isWords(placement)) {
          carries.delete(player);
          const words = { pattern: null, words: placement.words, sample: null, from: 0, to: 0 };
          compiled = {
            placed: { ...placed, ...words, recordGroups: [], faderGroups: [] } as unknown as PlacedEvent,
            events: null,
          };
        } else {
          const carry = carries.get(player);
          const before = carry !== undefined && carry.end === start ? carry : undefined;
          const sample = sampleOf(rig, placement.sample);
          const speed = platterSpeed(rig, section(owner).pitch);
          const base = startOf(owner);
          const { recordAt = 0 } = placement;
          const position =
            placement.carriesOn === true && before !== undefined
              ? before.position
              : typeof recordAt === "number"
                ? recordAt
                : (sample.cues?.find((cue) => cue.id === recordAt)?.at ?? 0);
          const events = compilePlacement({
            pattern: patterns.get(placement.pattern) as NonNullable<ReturnType<typeof patterns.get>>,
            recordFrom: placement.recordFrom ?? 0,
            faderFrom: placement.faderFrom ?? 0,
            duration: (end - start) as Units,
            position: position as Degrees,
            before: before ?? NOTHING_BEFORE,
            placement: spot.index,
            offset: spot.start,
            turned: (from, to) => secondsBetween(base + from, base + to, index, owner) * speed,
          });
          carries.set(player, { player, past: 0, sample: sample.id, end, ...events.after });
          compiled = {
            placed: {
              ...placed,
              pattern: placement.pattern,
              words: null,
              sample: sample.id,
              from: position as Degrees,
              to: events.after.position,
              recordGroups: events.recordGroups,
              faderGroups: events.faderGroups,
            },
            events,
          };
        }
        if (owner === index && spot.start >= 0) own.push(compiled);
        else foreign.set(placement, compiled);
      }
      const sectionEnd = startOf(index) + layout(index).length;
      const carry: Carry[] = [];
      for (const { end, player, sample, position, faderOpen, moved } of carries.values()) {
        if (end >= sectionEnd)
          carry.push({ player, past: end - sectionEnd, sample, position, faderOpen, moved });
      }
      carry.sort((a, b) => a.player - b.player);
      return { own, guests: foreign, carry };
    }

    /** What a section's result depends on beside itself: visitors, and placements that are left out. */
    function othersOf(index: number): readonly unknown[] {
      const visiting = guests[index] ?? NO_GUESTS;
      if (visiting.length === 0 && without.size === 0) return NO_OTHERS;
      const others: unknown[] = [];
      if (without.size > 0)
        for (const { placement } of layout(index).spots) others.push(without.has(placement));
      for (const homed of visiting) {
        const { spot, owner } = homed;
        others.push(spot.placement, layout(owner), startOf(owner) - startOf(index));
        others.push(spot.duration ?? endOf(homed, index, homeList(index)) - startOf(index));
        for (let between = index + 1; between <= owner; between++) others.push(sections[between]);
      }
      return others;
    }

    const homes: Remembered[] = [];
    let carry = NO_CARRY;
    let beatBefore: Beat | undefined;
    let phaseAfter = 0;
    for (let index = 0; index < sections.length; index++) {
      const here = section(index);
      const layoutHere = layout(index);
      const beat = here.beat === undefined ? undefined : beats.get(here.beat);
      const phase = here.beatContinues === true && beat !== undefined && beat === beatBefore ? phaseAfter : 0;
      const others = othersOf(index);
      let home = before.sections[index] === here ? before.homes[index] : memory.get(here);
      if (
        home === undefined ||
        home.layout !== layoutHere ||
        home.rig !== rig ||
        home.beat !== beat ||
        home.phase !== phase ||
        !sameCarry(home.carryIn, carry) ||
        !same(home.others, others)
      ) {
        const { length, bar } = layoutHere;
        home = {
          layout: layoutHere,
          rig,
          beat,
          phase,
          carryIn: carry,
          others,
          ...compileHome(index, carry, homeList(index)),
          hits: beat === undefined ? [] : compileBeat(beat, phase, length, bar, here.beatRests),
          phaseAfter: beat === undefined ? 0 : (phase + length) % beatLength(beat),
          seconds: secondsInto(here.tempo, length, length),
          assembled: null,
          timed: null,
        };
        memory.set(here, home);
      }
      homes.push(home);
      carry = home.carry;
      beatBefore = beat;
      phaseAfter = home.phaseAfter;
    }

    const leadInBars = leadIn(sections, layoutsHere, without);
    const leadInUnits = leadInBars * layout(0).bar;
    let startSeconds = secondsInto(startingTempo(section(0).tempo), leadInUnits as Units, leadInUnits);
    const pickupsOf = (index: number): readonly Compiled[] => {
      const { pickups } = layout(index);
      if (pickups.length === 0) return NO_PICKUPS;
      return pickups.flatMap(({ placement, start }) => {
        const compiled = homes[homeOf(starts, index, start)]?.guests.get(placement);
        return compiled === undefined ? [] : [compiled];
      });
    };
    const timed: TimedSection[] = [];
    for (let index = 0; index < sections.length; index++) {
      const home = homes[index] as Remembered;
      const pickups = pickupsOf(index);
      if (home.assembled === null || !same(home.assembled.pickups, pickups)) {
        home.assembled = { pickups, performance: assemble(section(index).id, pickups, home) };
      }
      const start = startOf(index) + leadInUnits;
      const { performance } = home.assembled;
      const known = home.timed;
      if (
        known?.start !== start ||
        known.startSeconds !== startSeconds ||
        known.performance !== performance
      ) {
        home.timed = {
          start: start as Units,
          end: (start + home.layout.length) as Units,
          startSeconds: startSeconds as Seconds,
          endSeconds: (startSeconds + home.seconds) as Seconds,
          performance,
        };
      }
      timed.push(home.timed as TimedSection);
      startSeconds += home.seconds;
    }
    forget(before.sections, sections);
    before = { sections, layouts: layoutsHere, homes };
    return {
      sections: timed,
      leadInBars,
      end: (total + leadInUnits) as Units,
      endSeconds: startSeconds as Seconds,
    };
  };
}

/** Compiles from nothing. The routine must have no errors. */
export const compile = (routine: Routine, without?: ReadonlySet<Placement>): Performance =>
  createCompiler()(routine, without);

/** The section in whose time a spot `start` units from the start of section `owner` begins. */
function homeOf(starts: readonly number[], owner: number, start: number): number {
  const at = (starts[owner] as number) + start;
  let home = owner;
  while (home > 0 && (starts[home] as number) > at) home--;
  return home;
}

/** For each section the pickups that start in its time, its own (of the first section: the lead-in) included. */
function guestsOf(
  layouts: readonly KnownLayout[],
  starts: readonly number[],
  without: ReadonlySet<Placement>,
): (Homed[] | undefined)[] {
  const guests: (Homed[] | undefined)[] = [];
  for (let owner = 0; owner < layouts.length; owner++) {
    for (const spot of (layouts[owner] as KnownLayout).layout.pickups) {
      if (without.has(spot.placement)) continue;
      const home = homeOf(starts, owner, spot.start);
      const list = guests[home] ?? [];
      guests[home] = list;
      list.push({ spot, owner });
    }
  }
  return guests;
}

/** The fewest whole bars that hold the first section's pickup. */
function leadIn(
  sections: readonly Section[],
  layouts: readonly KnownLayout[],
  without: ReadonlySet<Placement>,
): number {
  const first = sections[0] as Section;
  const { pickups } = (layouts[0] as KnownLayout).layout;
  const { bar } = meterOf(first);
  const earliest = pickups.filter(({ placement }) => !without.has(placement))[0];
  return earliest === undefined ? 0 : Math.ceil(-earliest.start / bar);
}

function assemble(id: string, pickups: readonly Compiled[], home: Remembered): SectionPerformance {
  const all = [...pickups, ...home.own];
  const collect = <Key extends "strokes" | "openings" | "sounds">(key: Key): PlacementEvents[Key] =>
    all.flatMap(({ events }) => (events === null ? [] : (events[key] as never[]))) as PlacementEvents[Key];
  const order = (a: { start: number; placement: number }, b: { start: number; placement: number }): number =>
    a.start - b.start || a.placement - b.placement;
  return {
    id,
    length: home.layout.length,
    bar: home.layout.bar,
    strokes: collect("strokes").sort(order),
    openings: collect("openings").sort(order),
    sounds: collect("sounds").sort(order),
    beat: home.hits,
    beatLength: home.beat === undefined ? (0 as Units) : beatLength(home.beat),
    beatPhase: home.phase as Units,
    placed: all.map(({ placed }) => placed).sort((a, b) => a.placement - b.placement),
  };
}
