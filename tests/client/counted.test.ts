/** What is called out while one counts in, against the frames at which the server strikes. */
import { expect, test } from "vitest";
import { countedAt } from "../../client/far/counted.ts";
import type { Opened } from "../../client/state/opened.ts";
import type { CountIn } from "../../schemas/soundWire.ts";
import { UNITS_PER_QUARTER } from "../../schemas/units.ts";
import { compile } from "../../server/routine/compile.ts";
import { DEMO } from "../../server/routine/demo.ts";

const performance = compile(DEMO);
const opened = { routine: DEMO, performance, performances: new Map() } as unknown as Opened;
const sectionOf = (name: string): number => DEMO.sections.findIndex((section) => section.name === name);

/** What is said just before and just after each beat, at a tempo and speed. */
function said(name: string, countIn: CountIn, beats: readonly number[], seconds: number, speed = 1) {
  const place = { section: sectionOf(name), at: 0 };
  return beats.map((beat) => {
    const counted = countedAt(opened, place, countIn, speed, Math.round(beat * seconds * 48_000));
    return counted === null ? null : [counted.beat, ...(counted.bar === null ? [] : [counted.bar.now])];
  });
}

test("a bar is counted beat by beat, at the tempo and speed of the music", () => {
  const bar: CountIn = { count: 1, by: "bar" };
  expect(said("Cast off", bar, [0, 0.99, 1.01, 2.5, 3.99, 4.1], 60 / 92)).toEqual([
    [1],
    [1],
    [2],
    [3],
    [4],
    [4],
  ]);
  expect(said("Cast off", bar, [0.99, 1.01, 3.5], 60 / 92 / 0.6, 0.6)).toEqual([[1], [2], [4]]);
  // 7/8: seven eighths.
  expect(said("Channel", bar, [0, 6.5], 30 / 92)).toEqual([[1], [7]]);
});

test("of several bars it is said which, and of beats and groups their number", () => {
  expect(said("Cast off", { count: 2, by: "bar" }, [0, 3.5, 4.5, 7.5], 60 / 92)).toEqual([
    [1, 1],
    [4, 1],
    [1, 2],
    [4, 2],
  ]);
  expect(said("Cast off", { count: 6, by: "beat" }, [0, 4.5, 5.5], 60 / 92)).toEqual([[1], [5], [6]]);
  // Groups as the server strikes them: from one start of a group to the next.
  const [first, second] = performance.sections[sectionOf("Cast off")]!.performance.placed[0]!.faderGroups;
  const quarters = (second! - first!) / UNITS_PER_QUARTER;
  expect(said("Cast off", { count: 3, by: "fader" }, [0, 1.5, 2.5], (quarters * 60) / 92)).toEqual([
    [1],
    [2],
    [3],
  ]);
  expect(said("Cast off", { count: 0, by: "bar" }, [0], 1)).toEqual([null]);
});
