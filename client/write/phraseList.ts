/** Phrases begun, copied, named, removed. */
import { batch, signal } from "@preact/signals";
import type { Cell, Pattern, Routine, Stroke } from "../../schemas/routine.ts";
import { askWhether } from "../state/question.ts";
import { counted } from "../parts/music.ts";
import { freshId } from "../parts/ids.ts";
import { beforeWhich } from "../parts/order.ts";
import { onNewId } from "../state/newIds.ts";
import { goTo, placeBecomes } from "../state/place.ts";
import { change } from "../state/change.ts";
import { opened } from "../state/shown.ts";
import { routineAhead, taken } from "../state/turn.ts";
import { patternNow, toStart, trying } from "./inHand.ts";

/** What a phrase can begin as. */
export interface Start {
  readonly name: string;
  readonly says: string;
  readonly strokes: readonly Stroke[];
  readonly cells: readonly Cell[];
}
const strokes = (...moves: readonly Stroke["move"][]): readonly Stroke[] => moves.map((move) => ({ move }));
const cells = (...states: readonly Cell["fader"][]): readonly Cell[] => states.map((fader) => ({ fader }));

/** Steps until both hands start together again, and bars until that is at a bar’s start: sixteenths in 4/4. */
export const STARTS: readonly Start[] = [
  {
    name: "Two under three",
    says: "forward, back under click, open, open: 6 steps, round after 3 bars of 4/4",
    strokes: strokes("forward", "back"),
    cells: cells("click", "open", "open"),
  },
  {
    name: "Three under five",
    says: "forward, forward, back under click, click, open, click, click: 15 steps, round after 15 bars; it walks",
    strokes: strokes("forward", "forward", "back"),
    cells: cells("click", "click", "open", "click", "click"),
  },
  {
    name: "Four under three",
    says: "forward twice, back twice under click, open, closed: 12 steps, round after 3 bars",
    strokes: strokes("forward", "forward", "back", "back"),
    cells: cells("click", "open", "closed"),
  },
  {
    name: "Two under nine",
    says: "forward, back under nine cells: 18 steps, round after 9 bars",
    strokes: strokes("forward", "back"),
    cells: cells("click", "click", "open", "click", "open", "open", "closed", "open", "open"),
  },
  {
    name: "Open baby",
    says: "forward, back with the fader open throughout: the plainest one, to build on",
    strokes: strokes("forward", "back"),
    cells: cells("open"),
  },
];

function add(pattern: Omit<Pattern, "id">): void {
  if (opened.value === null) return;
  const id = freshId(pattern.name ?? "phrase", taken("pattern"));
  const begun = { id, ...pattern } as Pattern;
  batch(() => {
    change({ kind: "add-pattern", pattern: begun }, `Begin ${pattern.name ?? id}`);
    toStart();
    trying.value = begun;
    goTo("write", id);
  });
}

export function newPhrase(start: Start = STARTS[0]!): void {
  const step = patternNow()?.record.step ?? "1/16";
  const count = (routineAhead()?.patterns.length ?? 0) + 1;
  add({
    name: `Phrase ${count}`,
    record: { step, strokes: start.strokes },
    fader: { step, cells: start.cells },
  });
}
export function copyPhrase(): void {
  const pattern = patternNow();
  if (pattern === null) return;
  const { id: _, ...rest } = pattern;
  add({ ...rest, name: `${pattern.name ?? pattern.id} again` });
}
export const renamePhrase = (pattern: Pattern, name: string): void => {
  const wanted = name.trim();
  if (wanted === (pattern.name ?? "")) return;
  change(
    { kind: "change-pattern", id: pattern.id, set: { name: wanted === "" ? null : wanted } },
    "Rename it",
  );
};

export function givePhraseId(pattern: Pattern, to: string): void {
  change(
    { kind: "change-id", of: "pattern", id: pattern.id, to },
    `Give ${pattern.name ?? pattern.id} the id ${to}`,
  );
}
onNewId("patterns", (from, to) => placeBecomes("write", from, to));

/** "Cast off, bar 1, and 2 more places"; null where it is not played. */
function usedIn(routine: Routine, id: string): string | null {
  const places = routine.sections.flatMap(({ name, id: section, placements }) =>
    placements.flatMap((placed) =>
      "pattern" in placed && placed.pattern === id ? [`${name ?? section}, bar ${placed.bar}`] : [],
    ),
  );
  if (places.length === 0) return null;
  const more = places.length - 1;
  return `${places[0]}${more === 0 ? "" : `, and in ${counted(more, "more place")}`}`;
}

/** Asks first where it is played. */
export function removePhrase(): void {
  const pattern = patternNow();
  const routine = opened.value?.routine;
  if (pattern === null || routine === undefined) return;
  const name = pattern.name ?? pattern.id;
  const remove = { kind: "remove-pattern", id: pattern.id, withPlacements: true } as const;
  const used = usedIn(routine, pattern.id);
  const words = `Remove ${name}`;
  if (used !== null)
    askWhether(
      `${name} is played in ${used}. Remove it there too? Undo brings it back.`,
      { label: `Remove ${name} everywhere`, edit: remove, words },
      { label: "Keep it", edit: null, words: "" },
    );
  else {
    change(remove, words);
    toStart();
    goTo("write");
  }
}
/** One place up or down in the list: the first nine have a key on the Routine screen. */
export function movePhrase(by: 1 | -1): void {
  const pattern = patternNow();
  const before = beforeWhich(opened.value?.routine.patterns ?? [], pattern?.id ?? "", by);
  if (pattern === null || before === undefined) return;
  change({ kind: "move-pattern", id: pattern.id, before }, `Move ${pattern.name ?? pattern.id} in the list`);
}
export function nextPhrase(by: 1 | -1): void {
  const patterns = opened.value?.routine.patterns ?? [];
  const now = patterns.findIndex(({ id }) => id === patternNow()?.id);
  const next = patterns[(now + by + patterns.length) % Math.max(1, patterns.length)];
  if (next === undefined) return;
  toStart();
  goTo("write", next.id);
}

/** The section that lends metre, tempo and beat, where the user chose one. */
export const lender = signal("");
