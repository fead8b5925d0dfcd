/** Putting things in at the spot: a phrase, words, what was copied; and cutting in two where the spot is. */
import { signal } from "@preact/signals";
import type { Pattern, Placement } from "../../schemas/routine.ts";
import { unitsOfText } from "../parts/music.ts";
import type { Opened } from "../state/opened.ts";
import { change } from "../state/change.ts";
import { said } from "../state/said.ts";
import { openedAhead } from "./ahead.ts";
import { addressed, changedTo, together } from "./changes.ts";
import { chooseOnly, chosenNow } from "./chosen.ts";
import { gapAround, type Lying, lyingIn, sectionAt } from "./lying.ts";
import { cutInTwo, lastsOf, lengthsOf, movedTo, untilNext, wholeRounds } from "./moving.ts";
import { reveal } from "./reveal.ts";
import { nameOf, namesOf, putIn, settle } from "./settle.ts";
import { player, setSpotAt, spot, spotPlace } from "./spot.ts";

interface Piece {
  readonly placement: Placement;
  /** Units from where the first piece starts, and how long it is. */
  readonly offset: number;
  readonly length: number;
}

/** What was copied. */
export const held = signal<readonly Piece[]>([]);

function piecesOf(these: readonly Lying[]): readonly Piece[] {
  const first = Math.min(...these.map(({ from }) => from));
  return these
    .toSorted((a, b) => a.from - b.from)
    .map(({ placement, pattern, bar, from, to }) => {
      // One that lasts until the next keeps the length that it has here, where that can be said.
      const lasts = placement.lasts ?? lastsOf(to - from, bar, pattern);
      return {
        placement: (lasts === null ? placement : { ...placement, lasts }) as Placement,
        offset: from - first,
        length: to - from,
      };
    });
}

function putPieces(state: Opened, pieces: readonly Piece[], at: number, words: string): void {
  const bySection = new Map<string, Placement[]>();
  for (const { placement, offset } of pieces) {
    const index = sectionAt(state, at + offset);
    const section = index === null ? undefined : state.routine.sections[index];
    const timed = index === null ? undefined : state.performance.sections[index];
    if (section === undefined || timed === undefined) {
      said.value = "That would lie past the routine’s end. Add a section, or put it in earlier.";
      return;
    }
    const to = movedTo(placement, at + offset - timed.start, timed.performance.bar);
    bySection.set(section.id, [...(bySection.get(section.id) ?? []), to]);
  }
  const end = Math.max(...pieces.map(({ offset, length }) => at + offset + length));
  putIn(
    [...bySection].map(([section, placements]) => ({ kind: "add-placements", section, placements })),
    pieces.map(({ placement, offset, length }) => ({
      from: at + offset,
      until: at + offset + length,
      player: placement.player ?? 1,
    })),
    words,
    (addresses) => {
      chooseOnly(...addresses);
      setSpotAt(state, end);
      // One alone is brought into sight by its panel.
      if (addresses.length > 1 && spot.value !== null) reveal(spot.value.section, spot.value.at);
    },
  );
}

export function copyChosen(): void {
  const state = openedAhead.value;
  if (state === null || chosenNow.value.length === 0) return;
  held.value = piecesOf(chosenNow.value);
  said.value = `Copied ${namesOf(state, chosenNow.value)}.`;
}

/** Where things go: the spot, or after what is chosen. */
function target(): number | null {
  const state = openedAhead.value;
  const these = chosenNow.value;
  if (these.length > 0) return Math.max(...these.map(({ to }) => to));
  return spotPlace(state);
}

export function paste(): void {
  const state = openedAhead.value;
  const at = target();
  if (state === null || at === null || held.value.length === 0) return;
  putPieces(state, held.value, at, "Paste");
}

/** The same again, right behind. */
export function again(): void {
  const state = openedAhead.value;
  const these = chosenNow.value;
  const at = target();
  if (state === null || at === null || these.length === 0) return;
  putPieces(state, piecesOf(these), at, `Repeat ${namesOf(state, these)}`);
}

/** Free units from a place on for the player, to the next placement or the section's end; 0: something lies there. */
export const roomAt = (state: Opened, at: number): number =>
  (gapAround(state, at, player.value)?.to ?? at) - at;

export function putPhrase(pattern: Pattern): void {
  const state = openedAhead.value;
  const at = target();
  if (state === null || at === null) return;
  const index = sectionAt(state, at);
  const bar = index === null ? undefined : state.performance.sections[index]?.performance.bar;
  if (bar === undefined) {
    said.value = "That would lie past the routine’s end. Add a section first.";
    return;
  }
  const lasts = wholeRounds(pattern, bar, roomAt(state, at));
  const length = "cycles" in lasts ? lasts.cycles * lengthsOf(pattern).combined : bar;
  const placement: Placement = { pattern: pattern.id, bar: 1, lasts, ...playerField() };
  putPieces(state, [{ placement, offset: 0, length }], at, `Put in ${pattern.name ?? pattern.id}`);
}

const playerField = () => (player.value === 1 ? {} : { player: player.value });

export function putWords(words: string): void {
  const state = openedAhead.value;
  const at = target();
  const index = at === null || state === null ? null : sectionAt(state, at);
  if (state === null || at === null || index === null || words === "") return;
  const bar = state.performance.sections[index]?.performance.bar ?? unitsOfText("1/1");
  const room = roomAt(state, at);
  // Less than a bar of room: until the next placement starts.
  const lasts = room > 0 && room < bar ? {} : { lasts: { bars: 1 } };
  const placement: Placement = { words, bar: 1, ...lasts, ...playerField() };
  putPieces(
    state,
    [{ placement, offset: 0, length: room > 0 ? Math.min(room, bar) : bar }],
    at,
    "Put in words",
  );
}

/** What is chosen goes on until the next one starts, or the section ends; or only for as many repeats as land. */
export function fillOn(how: "until-next" | "whole-rounds"): void {
  const state = openedAhead.value;
  const these = chosenNow.value;
  if (state === null || these.length === 0) return;
  const changes = these.flatMap((one) => {
    if (how === "until-next" || one.pattern === null) return [changedTo(one, untilNext(one.placement))];
    // What ends with its section has no room left: the next section's is not its own.
    const home = state.routine.sections.findIndex(({ id }) => id === one.section);
    const free = sectionAt(state, one.to) === home ? roomAt(state, one.to) : 0;
    const cycles = Math.floor((one.to - one.from + free) / lengthsOf(one.pattern).combined);
    return cycles < 1 ? [] : [changedTo(one, { ...one.placement, lasts: { cycles } })];
  });
  settle(changes, `Fill on with ${namesOf(state, these)}`);
}

/** Cuts what lies at the spot in two, so that each part can be changed by itself; sounds as before. */
export function cutAtSpot(): void {
  const state = openedAhead.value;
  const at = spotPlace(state);
  if (state === null || at === null) return;
  const [last] = chosenNow.value;
  const one = last !== undefined && last.from < at && last.to > at ? last : lyingAt(state, at);
  if (one === undefined) {
    said.value = "Nothing lies at the spot that could be cut. Put the spot inside a phrase.";
    return;
  }
  const start = (one.placement.bar - 1) * one.bar + unitsOfText(one.placement.at ?? "0");
  const where = { start, length: one.to - one.from, offset: at - one.from, bar: one.bar };
  const parts = cutInTwo(one.placement, where, one.pattern);
  if (parts === null) {
    said.value =
      one.pattern === null
        ? "Words are cut at a bar line. Put the spot on one."
        : "Both hands have to be at the start of a stroke and of a cell there. Put the spot where they are.";
    return;
  }
  const words = `Cut ${nameOf(state, one)} in two`;
  change(
    together(
      [
        { kind: "change-placements", changes: [{ placement: addressed(one), to: parts[0] }] },
        { kind: "add-placements", section: one.section, placements: [parts[1]] },
      ],
      words,
    ),
    words,
  );
}

const lyingAt = (state: Opened, at: number): Lying | undefined =>
  [...lyingIn(state).values()].find((one) => one.player === player.value && one.from < at && one.to > at);
