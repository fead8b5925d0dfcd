/**
 * From a checked routine to its Performance, a section at a time.
 *
 * Sections are gone through in order; what one leaves to the next is a small hand-over a player (where the record
 * stands, whether the fader is open, how the record last moved, on which sample). A section is looked at anew only
 * when something it uses is another value than the last time, and in it only the placements that come out otherwise
 * are compiled: an edit costs what it touches. What did not change is the same object as the last time.
 */
import type { Performance, TimedSection } from "../../schemas/performance.ts";
import { isWords, type Placement, type Routine, type Section } from "../../schemas/routine.ts";
import { sameItems } from "../../schemas/sameItems.ts";
import type { Seconds, Units } from "../../schemas/units.ts";
import { secondsInto, startingTempo } from "../time/tempo.ts";
import { beatLength } from "./beat.ts";
import { compileHome, sameCarry } from "./home.ts";
import { type Laid, layoutAt, layRoutine, leadInBars, startOf } from "./laid.ts";
import { layOut, type SectionLayout } from "./layout.ts";
import { beatsOf, patternsOf } from "./lookups.ts";
import { drumsOf, othersOf, performanceOf, pickupsOf, type Remembered } from "./remembered.ts";

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
  readonly laid: Laid | null;
  readonly homes: readonly Remembered[];
  readonly timed: readonly TimedSection[];
}

const NO_CARRY: Remembered["carry"] = [];
const NONE: ReadonlySet<Placement> = new Set();

const liesAlike = (a: Section, b: Section): boolean =>
  a === b || (a.placements === b.placements && a.meter === b.meter && a.bars === b.bars);

/**
 * Compiles `routine`; `without` are placements to leave out, so that a routine with a problem can still be heard.
 * `tell` hears how much is done, 0 to 1; what it throws ends the work.
 */
export type Compiler = (
  routine: Routine,
  without?: ReadonlySet<Placement>,
  tell?: (done: number) => void,
) => Performance;

/** A compiler that remembers sections between calls. The result is the same as that of a fresh one. */
export function createCompiler(): Compiler {
  const memory = new WeakMap<Section, Remembered>();
  const layouts = new WeakMap<Section, KnownLayout>();
  // Most sections stand where they stood before the edit: found there without a look-up.
  let before: Before = { sections: [], layouts: [], laid: null, homes: [], timed: [] };

  function layoutOf(section: Section, index: number, routine: Routine): KnownLayout {
    const { patterns: list } = routine;
    const earlier = before.sections[index];
    // An edit mostly leaves the placements where they lie.
    const there = earlier !== undefined && liesAlike(earlier, section) ? before.layouts[index] : undefined;
    const known = there ?? layouts.get(section);
    if (known?.list === list) return known;
    const patterns = patternsOf(routine);
    const used = section.placements.map((one) => (isWords(one) ? undefined : patterns.get(one.pattern)));
    const layout =
      known !== undefined && sameItems(known.used, used) ? known.layout : layOut(section, patterns);
    const fresh = { list, used, layout };
    layouts.set(section, fresh);
    return fresh;
  }

  /** What an edit took away would be kept as long as anything can go back to it: by far the most of an open routine. */
  function forget(were: readonly Section[], are: readonly Section[]): void {
    let from = 0;
    while (from < were.length && were[from] === are[from]) from++;
    let after = 0;
    while (after < were.length - from && were.at(-1 - after) === are.at(-1 - after)) after++;
    const still = new Set(are.slice(from, are.length - after));
    for (const section of were.slice(from, were.length - after)) {
      if (still.has(section)) continue;
      memory.delete(section);
      layouts.delete(section);
    }
  }

  /** Of the section as it was before an edit; where others were added or taken away, not to be had. */
  const earlierOf = ({ id }: Section, index: number): Remembered | undefined =>
    before.sections[index]?.id === id ? before.homes[index] : undefined;

  return function compile(routine, without = NONE, tell) {
    const { sections, rig } = routine;
    const beats = beatsOf(routine);
    const known = sections.map((section, index) => layoutOf(section, index, routine));
    const laid = layRoutine(routine, known, without);
    const leadIn = leadInBars(laid);
    const leadInUnits = leadIn * layoutAt(laid, 0).bar;
    const leadInSeconds = secondsInto(
      startingTempo((sections[0] as Section).tempo),
      leadInUnits as Units,
      leadInUnits,
    );
    const homes: Remembered[] = [];
    const timed: TimedSection[] = [];

    function compileAt(index: number): void {
      const section = sections[index] as Section;
      const earlier = homes[index - 1];
      const layout = layoutAt(laid, index);
      const beat = section.beat === undefined ? undefined : beats.get(section.beat);
      const goesOn = section.beatContinues === true && beat !== undefined && beat === earlier?.drums.beat;
      const phase = goesOn ? earlier.phaseAfter : 0;
      const carryIn = earlier?.carry ?? NO_CARRY;
      const others = othersOf(laid, index);
      let home = before.sections[index] === section ? before.homes[index] : memory.get(section);
      if (
        home === undefined ||
        home.layout !== layout ||
        home.rig !== rig ||
        home.drums.beat !== beat ||
        home.drums.phase !== phase ||
        !sameCarry(home.carryIn, carryIn) ||
        !sameItems(home.others, others)
      ) {
        const last: Remembered | undefined = home ?? earlierOf(section, index);
        const { length, bar } = layout;
        const drums = drumsOf({ beat, phase, length, bar, rests: section.beatRests }, last?.drums);
        const { own, guests, carry } = compileHome(laid, index, carryIn, last);
        home = {
          layout,
          rig,
          drums,
          carryIn,
          others,
          own,
          guests,
          carry,
          phaseAfter: beat === undefined ? 0 : (phase + length) % beatLength(beat),
          seconds: secondsInto(section.tempo, length, length),
          assembled: last?.drums === drums && sameItems(last.own, own) ? last.assembled : null,
          timed: null,
        };
        memory.set(section, home);
      }
      homes.push(home);
      // Its pickups have their homes before it, or in it.
      const performance = performanceOf(section.id, home, pickupsOf(laid, index, homes));
      const start = startOf(laid, index) + leadInUnits;
      const startSeconds = timed[index - 1]?.endSeconds ?? leadInSeconds;
      const stood = home.timed;
      if (
        stood?.start !== start ||
        stood.startSeconds !== startSeconds ||
        stood.performance !== performance
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
    }

    /** Whether what a section hands over to the next is what it handed over the last time. */
    function handsOverAgain(index: number): boolean {
      const { end, endSeconds } = timed[index] as TimedSection;
      const { drums, phaseAfter, carry } = homes[index] as Remembered;
      const then = before.homes[index];
      const stood = before.timed[index];
      return (
        then !== undefined &&
        end === stood?.end &&
        endSeconds === stood.endSeconds &&
        drums.beat === then.drums.beat &&
        phaseAfter === then.phaseAfter &&
        sameCarry(carry, then.carry)
      );
    }

    // Far from an edit nothing is looked at: it would be by far the most of what an edit of a long routine costs.
    const alike = knowsAlike(laid, before.laid);
    let settled = alike;
    for (let index = 0; index < sections.length; index++) {
      if (
        settled &&
        sections[index] === before.sections[index] &&
        known[index] === before.layouts[index] &&
        standsAlone(laid, index) &&
        standsAlone(before.laid as Laid, index)
      ) {
        homes.push(before.homes[index] as Remembered);
        timed.push(before.timed[index] as TimedSection);
      } else {
        tell?.(index / sections.length);
        compileAt(index);
        settled = alike && handsOverAgain(index);
      }
    }
    forget(before.sections, sections);
    before = { sections, layouts: known, laid, homes, timed };
    return {
      sections: timed,
      leadInBars: leadIn,
      end: (laid.total + leadInUnits) as Units,
      endSeconds: timed.at(-1)?.endSeconds ?? (leadInSeconds as Seconds),
    };
  };
}

/** Compiles from nothing. The routine must have no errors. */
export const compile = (routine: Routine, without?: ReadonlySet<Placement>): Performance =>
  createCompiler()(routine, without);

/** Whether what all sections share is as it was, and nothing is left out. */
function knowsAlike(now: Laid, then: Laid | null): boolean {
  if (then === null || now.without.size + then.without.size > 0) return false;
  const [is, was] = [now.routine, then.routine];
  return is.rig === was.rig && is.patterns === was.patterns && is.beats === was.beats;
}

/** Whether nothing that another section owns starts in its time, nor the other way round. */
const standsAlone = (laid: Laid, index: number): boolean =>
  laid.guests[index] === undefined && layoutAt(laid, index).pickups.length === 0;
