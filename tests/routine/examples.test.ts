/** The routines that the program brings are held to what they are shown for. */
import { expect, test } from "vitest";
import type { Placement } from "../../schemas/routine.ts";
import { warningsOf } from "../../server/facts/warnings.ts";
import { describeJson } from "../../server/facts/describe.ts";
import { ATTIC_WALTZ, LOFT_TAPE } from "../../server/routine/atticWaltz.ts";
import { compile } from "../../server/routine/compile.ts";
import { EXAMPLES } from "../../server/routine/examples.ts";
import { parseRoutine } from "../../server/routine/parse.ts";
import { writeRoutine } from "../../server/routine/write.ts";
import { readWav } from "../../server/sound/wavread.ts";
import { tapeOf } from "../../server/sound/tape.ts";

test.each(Object.entries(EXAMPLES))("%s has no error and no warning, and lands everywhere", (_, routine) => {
  const parsed = parseRoutine(writeRoutine(routine));
  expect(parsed.problems).toEqual([]);
  const performance = compile(routine);
  expect(warningsOf(routine, performance)).toEqual([]);
  const { placements, joins } = describeJson(routine, performance);
  expect(placements.length).toBeGreaterThan(15);
  expect(placements.filter(({ landing }) => landing.steps !== "0")).toEqual([]);
  expect(joins.filter(({ verdict }) => verdict === "beyond your limits")).toEqual([]);
});

test("Attic Waltz is slow, in threes, three minutes, of tears and holds, with rests and a motif that returns", () => {
  const { sections, patterns, timeLimit } = ATTIC_WALTZ;
  expect(sections.map(({ meter }) => meter)).toEqual(sections.map(() => "3/4"));
  expect(sections.reduce((sum, { bars }) => sum + bars, 0)).toBe(72);
  const { endSeconds } = compile(ATTIC_WALTZ);
  expect(endSeconds).toBeGreaterThan(175);
  expect(endSeconds).toBeLessThanOrEqual(timeLimit!);
  const cells = patterns.flatMap(({ fader }) => fader.cells.map((cell) => cell.fader));
  expect(cells).not.toContain("click");
  const holds = (one: Placement, id: string) => "pattern" in one && one.pattern.startsWith(id);
  const withMotif = sections.filter(({ placements }) => placements.some((one) => holds(one, "hinge")));
  expect(withMotif.map(({ name }) => name)).toEqual(["Hatch", "Lamp", "Floorboards", "Hatch, closed"]);
  expect(sections.filter(({ beatRests = [] }) => beatRests.length > 0).length).toBeGreaterThanOrEqual(3);
});

test("its tape is rendered by the program, the same each time: two bars in threes at 90", () => {
  const { file, beat: id, ...as } = LOFT_TAPE;
  const tape = ATTIC_WALTZ.beats.find(({ recorded }) => recorded?.file === file)!;
  expect(tape).toMatchObject({ step: "1/16", steps: 24, recorded: { tempo: as.tempo } });
  const drawn = ATTIC_WALTZ.beats.find((beat) => beat.id === id)!;
  const bytes = tapeOf(drawn, as);
  expect(Buffer.compare(bytes, tapeOf(drawn, as))).toBe(0);
  const read = readWav(bytes);
  if (!("wav" in read)) throw new Error(read.problem);
  const [left] = read.wav.channels;
  // Six quarters at 90: four seconds.
  expect(left?.length).toBe(4 * read.wav.rate);
  expect(Math.max(...left!.subarray(0, 4800).map(Math.abs))).toBeGreaterThan(0.1);
});
