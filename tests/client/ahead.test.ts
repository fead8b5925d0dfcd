/** Gestures without a connection, each made on what waits: they come to the same as with one. */
import fc from "fast-check";
import { describe, expect, it, test } from "vitest";
import { stateAhead } from "../../client/routine/ahead.ts";
import {
  addressed,
  type Change,
  changedTo,
  changesEdit,
  moved,
  stretched,
} from "../../client/routine/changes.ts";
import { type Lying, lyingIn } from "../../client/routine/lying.ts";
import { unitsOfText } from "../../client/parts/music.ts";
import type { Opened } from "../../client/state/opened.ts";
import { type Intent, lineOf } from "../../client/state/outbox.ts";
import { standing } from "../../client/state/resting.ts";
import type { Edit } from "../../schemas/edit.ts";
import type { Placement, Routine } from "../../schemas/routine.ts";
import { compile } from "../../server/routine/compile.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { applyEdit } from "../../server/routine/edit.ts";
import { holds } from "../reference/laws.ts";

const opened = (routine: Routine) =>
  ({ routine, performance: compile(routine), leftOut: new Set() }) as unknown as Opened;
const STATE = opened(DEMO);

/** What a hand does, on the routine as it finds it; null where there is nothing to be done. */
type Gesture = (state: Opened) => Edit | "undo" | null;

const done = (routine: Routine, edit: Edit): Routine => {
  const result = applyEdit(routine, edit);
  if ("refused" in result) throw new Error(result.refused);
  return result.routine;
};

/** One by one with a connection: each on what the server made of those before it. */
function online(gestures: readonly Gesture[]): Routine {
  const states = [DEMO];
  for (const gesture of gestures) {
    const now = states.at(-1)!;
    const act = gesture(opened(now));
    if (act === "undo" && states.length > 1) states.pop();
    else if (act !== null && act !== "undo") states.push(done(now, act));
  }
  return states.at(-1)!;
}

/** None reaches the server before all are done; then they are sent in turn. */
function offline(gestures: readonly Gesture[]): Routine {
  const sent: { readonly intent: Intent }[] = [];
  for (const gesture of gestures) {
    const act = gesture(stateAhead(STATE, standing(sent.map(({ intent }) => intent))));
    if (act === "undo" && lineOf(sent).done.length > 0) sent.push({ intent: { kind: "undo" } });
    else if (act !== null && act !== "undo") sent.push({ intent: { kind: "edit", edit: act } });
  }
  const states = [DEMO];
  for (const { intent } of sent)
    if (intent.kind === "edit") states.push(done(states.at(-1)!, intent.edit));
    else states.pop();
  return states.at(-1)!;
}

/** What is done with a placement, where it is there. */
const withOne =
  (section: string, index: number, act: (one: Lying, state: Opened) => Edit | null): Gesture =>
  (state) => {
    const one = lyingIn(state).get(`${section}/${index}`);
    return one === undefined ? null : act(one, state);
  };
const changing = (change: Change | null): Edit | null => (change === null ? null : changesEdit([change]));
const move = (section: string, index: number, by: number): Gesture =>
  withOne(section, index, (one, state) => changing(moved(state, one, by)));
const stretch = (section: string, index: number, by: number): Gesture =>
  withOne(section, index, (one) => changing(stretched(one, by, BEAT)));
const set = (section: string, index: number, fields: Partial<Placement>): Gesture =>
  withOne(section, index, (one) => changing(changedTo(one, { ...one.placement, ...fields } as Placement)));
const remove = (section: string, index: number): Gesture =>
  withOne(section, index, (one) => ({ kind: "remove-placements", placements: [addressed(one)] }));
const undo: Gesture = () => "undo";

const BEAT = unitsOfText("1/4");
const HOME = "cast-off";
const home = DEMO.sections.findIndex(({ id }) => id === HOME);
const { bar } = STATE.performance.sections[home]!.performance;
const [next, size] = [DEMO.sections[home + 1]!, DEMO.sections[home]!.bars];
const lists = (routine: Routine) => [home, home + 1].map((index) => routine.sections[index]!.placements);

describe("what waits counts as often as it was done", () => {
  const cases: Readonly<Record<string, readonly Gesture[]>> = {
    "a phrase moved twice": [move(HOME, 0, BEAT), move(HOME, 0, BEAT)],
    "moved, and back": [move(HOME, 0, BEAT), move(HOME, 0, -BEAT)],
    "moved, and changed": [move(HOME, 0, BEAT), set(HOME, 0, { player: 2 }), move(HOME, 0, BEAT)],
    "two that swap places": [move(HOME, 0, 2 * bar), move(HOME, 1, -2 * bar), move(HOME, 0, BEAT)],
    "moved, taken back, moved": [move(HOME, 0, BEAT), undo, move(HOME, 0, 2 * BEAT)],
    "moved into another section, and on there": [
      move(HOME, 0, size * bar),
      move(next.id, next.placements.length, BEAT),
      move(HOME, 0, BEAT),
    ],
    "one before it removed": [remove(HOME, 0), move(HOME, 0, BEAT), move(HOME, 0, BEAT)],
    "stretched twice": [set(HOME, 0, { lasts: { bars: 1 } }), stretch(HOME, 0, bar), stretch(HOME, 0, bar)],
  };
  for (const [name, gestures] of Object.entries(cases))
    it(name, () => {
      const expected = online(gestures);
      expect(lists(offline(gestures))).toEqual(lists(expected));
      const plain = online([]);
      if (name === "moved, and back") expect(lists(expected)).toEqual(lists(plain));
      else expect(lists(expected)).not.toEqual(lists(plain));
    });
});

test("any gestures without a connection come to the same as with one", () => {
  const section = fc.constantFrom(HOME, next.id);
  const index = fc.integer({ min: 0, max: 4 });
  const by = fc.integer({ min: -4, max: 9 }).map((beats) => beats * BEAT);
  const gesture: fc.Arbitrary<Gesture> = fc.oneof(
    { weight: 5, arbitrary: fc.tuple(section, index, by).map(([id, one, far]) => move(id, one, far)) },
    fc.tuple(section, index).map(([id, one]) => remove(id, one)),
    fc.tuple(section, index).map(([id, one]) => set(id, one, { lasts: { bars: 2 } })),
    fc.tuple(section, index).map(([id, one]) => set(id, one, { player: 2 })),
    fc.constant(undo),
  );
  let changed = 0;
  holds("gestures that wait", 60, fc.array(gesture, { minLength: 1, maxLength: 6 }), (gestures) => {
    const expected = online(gestures);
    expect(lists(offline(gestures))).toEqual(lists(expected));
    if (expected !== DEMO) changed++;
  });
  expect(changed).toBeGreaterThan(20);
});
