/**
 * Changes of several placements at once: where each goes, whom it runs into, and the one edit that does it all. A
 * placement that is moved out of its section belongs to the one where it then starts.
 */
import type { Edit, SingleEdit } from "../../schemas/edit.ts";
import type { Placement } from "../../schemas/routine.ts";
import { unitsOfText } from "../parts/music.ts";
import type { Opened } from "../state/opened.ts";
import { type Address, keyOfAddress, type Lying, lyingIn, sectionAt } from "./lying.ts";
import { lastsOf, movedTo, saidLength, stretchedTo, untilNext } from "./moving.ts";

export interface Change {
  readonly one: Lying;
  readonly to: Placement;
  /** The section that it goes to; left out where it stays. */
  readonly into?: string;
  /** Where it then lies, units from the routine's start. */
  readonly from: number;
  readonly until: number;
}

export const addressed = ({ section, index, placement }: Lying) => ({ section, index, expected: placement });

export const changesEdit = (changes: readonly Change[]): SingleEdit => ({
  kind: "change-placements",
  changes: changes.map(({ one, to, into }) => ({
    placement: addressed(one),
    to,
    ...(into === undefined ? {} : { into }),
  })),
});

/** @returns null where it would start before the routine or after its end */
export function moved(state: Opened, one: Lying, by: number): Change | null {
  const from = one.from + by;
  const shifted = one.to + by;
  const { sections } = state.performance;
  const home = state.routine.sections.findIndex(({ id }) => id === one.section);
  const own = sections[home];
  if (own === undefined) return null;
  // A pickup stays with the section that it leads into, until it lies wholly before it.
  const leaves = from >= own.end || (home > 0 && shifted <= own.start);
  const owner = leaves ? sectionAt(state, from) : home;
  if (owner === null) return null;
  const section = state.routine.sections[owner];
  const timed = sections[owner];
  if (section === undefined || timed === undefined) return null;
  const to = movedTo(one.placement, from - timed.start, timed.performance.bar);
  // One that lasts until the next starts ends where it did, unless it is moved past that.
  const until = one.placement.lasts === undefined && from < one.to && owner === home ? one.to : shifted;
  return { one, to, from, until, ...(owner === home ? {} : { into: section.id }) };
}

export function stretched(one: Lying, by: number, grid: number): Change | null {
  const length = Math.max(grid, one.to - one.from + by);
  const to = stretchedTo(one.placement, length, one.bar, one.pattern);
  return to === null ? null : { one, to, from: one.from, until: one.from + length };
}

/** A change to other values, at the same place unless `bar` or `at` are others. */
export function changedTo(one: Lying, to: Placement): Change {
  const before = (one.placement.bar - 1) * one.bar + unitsOfText(one.placement.at ?? "0");
  const from = one.from + (to.bar - 1) * one.bar + unitsOfText(to.at ?? "0") - before;
  const length = to.lasts === undefined ? 0 : saidLength(to.lasts, one.bar, one.pattern);
  return { one, to, from, until: from + length };
}

export interface Meeting {
  /** What was changed or put in. */
  readonly moved: { readonly from: number; readonly until: number };
  readonly other: Lying;
}

/** Whom it runs into: placements of the same player that are not changed themselves. */
export function meetings(
  state: Opened,
  these: readonly { readonly from: number; readonly until: number; readonly player: number }[],
  changed: ReadonlySet<string>,
): Meeting[] {
  const found: Meeting[] = [];
  for (const other of lyingIn(state).values()) {
    if (changed.has(keyOfAddress(other))) continue;
    for (const it of these) {
      if (it.player !== other.player) continue;
      // One that lasts until the next starts makes room by itself.
      const until = other.placement.lasts === undefined && other.from < it.from ? it.from : other.to;
      if (other.from < it.until && until > it.from) {
        found.push({ moved: it, other });
        break;
      }
    }
  }
  return found;
}

/** The neighbour made to leave room: its end or its start cut, or gone where nothing of it is left. */
export function makeRoom({ moved: it, other }: Meeting): SingleEdit {
  if (other.from < it.from)
    return {
      kind: "change-placements",
      changes: [{ placement: addressed(other), to: untilNext(other.placement) }],
    };
  const left = other.to - it.until;
  if (left <= 0) return { kind: "remove-placements", placements: [addressed(other)] };
  const start = (other.placement.bar - 1) * other.bar + unitsOfText(other.placement.at ?? "0");
  const later = movedTo(other.placement, start + it.until - other.from, other.bar);
  const lasts = other.placement.lasts === undefined ? null : lastsOf(left, other.bar, other.pattern);
  const to = (lasts === null ? untilNext(later) : { ...later, lasts }) as Placement;
  return { kind: "change-placements", changes: [{ placement: addressed(other), to }] };
}

/** Several edits of one routine as one undo step, all addresses being meant before any of them is done. */
export function together(edits: readonly SingleEdit[], words: string): Edit {
  const changes = edits.flatMap((edit) => (edit.kind === "change-placements" ? edit.changes : []));
  const removals = edits.flatMap((edit) => (edit.kind === "remove-placements" ? edit.placements : []));
  const others = edits.filter(({ kind }) => kind !== "change-placements" && kind !== "remove-placements");
  // In a batch an edit sees what those before it did: what left a section moved the rest up.
  const moved = removals.map((one) => {
    const gone = changes.filter(
      ({ placement, into }) =>
        into !== undefined && placement.section === one.section && placement.index < one.index,
    );
    return { ...one, index: one.index - gone.length };
  });
  const ordered: SingleEdit[] = [
    ...(changes.length === 0 ? [] : [{ kind: "change-placements" as const, changes }]),
    ...(removals.length === 0 ? [] : [{ kind: "remove-placements" as const, placements: moved }]),
    ...others,
  ];
  const [only] = ordered;
  return ordered.length === 1 && only !== undefined
    ? only
    : { kind: "batch", words: words.slice(0, 200), edits: ordered };
}

/** Where the changed ones are to be found afterwards: those that left their section stand at the end of the other's list. */
export function addressesAfter(state: Opened, changes: readonly Change[]): Address[] {
  const gone = changes.filter(({ into }) => into !== undefined).map(({ one }) => one);
  const arrived = new Map<string, number>();
  const left = (section: string, index: number): number =>
    gone.filter((one) => one.section === section && one.index < index).length;
  const sizes = new Map(state.routine.sections.map(({ id, placements }) => [id, placements.length]));
  return changes.map(({ one, into }) => {
    if (into === undefined) return { section: one.section, index: one.index - left(one.section, one.index) };
    const before = arrived.get(into) ?? 0;
    arrived.set(into, before + 1);
    const size = sizes.get(into) ?? 0;
    return { section: into, index: size - left(into, size) + before };
  });
}
