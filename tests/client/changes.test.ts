/** What of a routine is moved, and whom it then runs into. */
import { expect, test } from "vitest";
import { unitsOfText } from "../../client/parts/music.ts";
import { meetings, moved } from "../../client/routine/changes.ts";
import { keyOfAddress, lyingIn } from "../../client/routine/lying.ts";
import type { Opened } from "../../client/state/opened.ts";
import type { Placement, Routine } from "../../schemas/routine.ts";
import { compile } from "../../server/routine/compile.ts";
import { DEMO } from "../../server/routine/demo.ts";

const [first, second] = DEMO.sections as [Routine["sections"][number], Routine["sections"][number]];
const BEAT = unitsOfText("1/4");

/** The first of these placements in the demo's first section, moved by so many beats: whom it meets. */
function meets(placements: readonly Placement[], beats: number) {
  const routine = { ...DEMO, sections: [{ ...first, placements }, second] } as Routine;
  const performance = compile(routine);
  const state = { routine, performance, leftOut: new Set() } as unknown as Opened;
  const one = lyingIn(state).get(`${first.id}/0`)!;
  const change = moved(state, one, beats * BEAT)!;
  const it = { from: change.from, until: change.until, player: 1 };
  return meetings(state, [it], new Set([keyOfAddress(one)])).map(({ other }) => keyOfAddress(other));
}

test("words until the next phrase, moved later, still end where that starts, and run into it only past there", () => {
  const words: Placement = { words: "Needle to the voice", bar: first.bars };
  expect(first.meter).toBe("4/4");
  expect(second.placements[0]?.bar).toBe(1);
  expect(meets([words], 1)).toEqual([]);
  expect(meets([{ ...words, lasts: { bars: 1 } }], 1)).toEqual([`${second.id}/0`]);
  const next: Placement = { words: "Step back", bar: first.bars - 1 };
  const before: Placement = { ...words, bar: first.bars - 2 };
  expect(meets([before, next], 3)).toEqual([]);
  expect(meets([before, next], 4)).toEqual([`${first.id}/1`]);
});
