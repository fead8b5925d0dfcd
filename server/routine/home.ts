/** What has its home in one section, compiled; and the hand-over to the next. */
import { platterSpeed } from "../../schemas/rig.ts";
import type { PlacedEvent } from "../../schemas/performance.ts";
import { isWords, type Pattern, type Placement } from "../../schemas/routine.ts";
import type { Degrees, Units } from "../../schemas/units.ts";
import { compileAgain, type Made } from "../hands/again.ts";
import { type HandOver, NOTHING_BEFORE } from "../hands/placement.ts";
import { secondsInto, startingTempo } from "../time/tempo.ts";
import { bentInSection, swingOf } from "../time/timeline.ts";
import { endOf, homeList, type Laid, layoutAt, sectionOf, startOf } from "./laid.ts";
import { sampleOf } from "./lookups.ts";

/** What a player leaves at the end of a section; only where a placement ends there or beyond. */
export interface Carry extends HandOver {
  readonly player: number;
  /** Units after the section's end at which the placement ends. */
  readonly past: number;
  readonly sample: string;
}

/** One placement; the same object as the last time where it came out the same. */
export interface Compiled {
  readonly of: Placement;
  readonly placed: PlacedEvent;
  /** null for words. */
  readonly made: Made | null;
}

export interface Home {
  /** The section's own, but for its pickups, in order of start. */
  readonly own: readonly Compiled[];
  /** Pickups that start in its time, the section's own in the lead-in included. */
  readonly guests: ReadonlyMap<Placement, Compiled>;
  readonly carry: readonly Carry[];
}

const NO_GROUPS: readonly Units[] = [];

/** @param last what was compiled of this section the last time */
export function compileHome(
  laid: Laid,
  index: number,
  carryIn: readonly Carry[],
  last: Home | undefined,
): Home {
  const { rig } = laid.routine;
  const known = new Map(last?.own.map((one) => [one.of, one]));
  const own: Compiled[] = [];
  const guests = new Map<Placement, Compiled>();
  const carries = new Map<number, Carry & { readonly end: number }>();
  for (const { player, past, sample, position, faderOpen, moved } of carryIn) {
    const end = startOf(laid, index) + past;
    carries.set(player, { player, past, sample, end, position, faderOpen, moved });
  }
  const list = homeList(laid, index);
  for (const homed of list) {
    const { spot, owner } = homed;
    const { placement, player } = spot;
    const base = startOf(laid, owner);
    const start = base + spot.start;
    const end = endOf(laid, homed, index, list);
    const before = known.get(placement) ?? last?.guests.get(placement);
    const add = (placed: PlacedEvent, made: Made | null): void => {
      const compiled = again(before, { of: placement, placed, made });
      if (owner === index && spot.start >= 0) own.push(compiled);
      else guests.set(placement, compiled);
    };
    if (isWords(placement)) {
      carries.delete(player);
      add(
        {
          placement: spot.index,
          player,
          start: spot.start as Units,
          end: (end - base) as Units,
          pattern: null,
          words: placement.words,
          sample: null,
          from: 0 as Degrees,
          to: 0 as Degrees,
          recordGroups: NO_GROUPS,
          faderGroups: NO_GROUPS,
        },
        null,
      );
      continue;
    }
    const carry = carries.get(player);
    const handed = carry !== undefined && carry.end === start ? carry : undefined;
    const section = sectionOf(laid, owner);
    const sample = sampleOf(rig, placement.sample);
    const speed = platterSpeed(rig, section.pitch);
    const { recordAt = 0 } = placement;
    const position =
      placement.carriesOn === true && handed !== undefined
        ? handed.position
        : typeof recordAt === "number"
          ? recordAt
          : (sample.cues?.find((cue) => cue.id === recordAt)?.at ?? 0);
    const made = compileAgain(
      {
        pattern: laid.patterns.get(placement.pattern) as Pattern,
        recordFrom: placement.recordFrom ?? 0,
        faderFrom: placement.faderFrom ?? 0,
        duration: (end - start) as Units,
        position: position as Degrees,
        before: handed ?? NOTHING_BEFORE,
        placement: spot.index,
        offset: spot.start,
        turned: (from, to) => secondsBetween(laid, base + from, base + to, { index, owner }) * speed,
      },
      before?.made,
    );
    const { events } = made;
    const { position: left, faderOpen, moved } = events.after;
    carries.set(player, { player, past: 0, sample: sample.id, end, position: left, faderOpen, moved });
    add(
      {
        placement: spot.index,
        player,
        start: spot.start as Units,
        end: (end - base) as Units,
        pattern: placement.pattern,
        words: null,
        sample: sample.id,
        from: position as Degrees,
        to: events.after.position,
        recordGroups: events.recordGroups,
        faderGroups: events.faderGroups,
      },
      made,
    );
  }
  return { own, guests, carry: carryOut(carries, startOf(laid, index) + layoutAt(laid, index).length) };
}

/** `last` itself, where it is the same. */
function again(last: Compiled | undefined, now: Compiled): Compiled {
  const { placed } = now;
  const isSame =
    last !== undefined &&
    last.made === now.made &&
    (Object.keys(placed) as (keyof PlacedEvent)[]).every((key) => Object.is(placed[key], last.placed[key]));
  return isSame ? last : now;
}

function carryOut(
  carries: ReadonlyMap<number, Carry & { readonly end: number }>,
  sectionEnd: number,
): readonly Carry[] {
  const carry: Carry[] = [];
  for (const { end, player, sample, position, faderOpen, moved } of carries.values()) {
    if (end >= sectionEnd) carry.push({ player, past: end - sectionEnd, sample, position, faderOpen, moved });
  }
  return carry.sort((a, b) => a.player - b.player);
}

/** Seconds between two positions of a placement, with the hands' swing. @param index of its home */
function secondsBetween(
  laid: Laid,
  from: number,
  to: number,
  { index: home, owner }: { readonly index: number; readonly owner: number },
): number {
  const lengthOf = (index: number): Units => layoutAt(laid, index).length;
  const at = (position: number): number => {
    let index = home;
    while (index < owner && position >= startOf(laid, index + 1)) index++;
    const section = sectionOf(laid, index);
    const { tempo } = section;
    const inside = position - startOf(laid, index);
    if (inside < 0) return secondsInto(startingTempo(tempo), lengthOf(index), inside);
    let seconds = 0;
    for (let earlier = home; earlier < index; earlier++) {
      seconds += secondsInto(sectionOf(laid, earlier).tempo, lengthOf(earlier), lengthOf(earlier));
    }
    const bent = bentInSection(swingOf(section), lengthOf(index), inside, "hands");
    return seconds + secondsInto(tempo, lengthOf(index), bent);
  };
  return at(to) - at(from);
}

export const sameCarry = (a: readonly Carry[], b: readonly Carry[]): boolean =>
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
