/** What is worked out, asked for on the command line. */
import { expect, test } from "vitest";
import { DEMO } from "../../server/routine/demo.ts";
import { writeRoutine } from "../../server/routine/write.ts";
import { pattern } from "../facts/notation.ts";
import { routine, section } from "../facts/routines.ts";
import { countercut } from "./run.ts";

const demo = writeRoutine(DEMO);
/** Two rounds walk 120 degrees on; the next starts at once, back at 0. */
const tight = writeRoutine(
  routine(
    [pattern("F2'90 B2'30", "o", { id: "walk", name: "Walk" })],
    [
      section([
        { pattern: "walk", bar: 1, lasts: { cycles: 2 } },
        { pattern: "walk", bar: 1, at: "1/2", lasts: { cycles: 2 } },
      ]),
    ],
  ),
);

test("find filters by the mix of onsets, and by what is not mirrored", async () => {
  const ask = (...more: string[]) =>
    countercut(["find", "--record", "2-4", "--fader", "3-5", "--json", ...more]);
  const all = JSON.parse((await ask("--top", "1000")).out).combinations as {
    sounds: number;
    mirrored: boolean;
    onsets: { cut: number; turn: number };
  }[];
  const mixed = all.filter(
    ({ sounds, onsets: { cut, turn } }) =>
      sounds > 0 && 2 * cut >= sounds && 5 * cut <= 4 * sounds && turn === 0,
  );
  expect(mixed.length).toBeGreaterThan(0);
  const some = JSON.parse((await ask("--onsets", "cut=50-80,turn=0")).out);
  expect(some.count).toBe(String(mixed.length));
  expect(JSON.parse((await ask("--unmirrored")).out).count).toBe(
    String(all.filter(({ mirrored }) => !mirrored).length),
  );
});

test("find and fill answer absurd questions with a sentence", async () => {
  const CASES: [string[], string][] = [
    [["--onsets", "cut=80-50"], "--onsets cut=80-50: percent go from 0 to 100, the lower first."],
    [["--onsets", "cut=120"], "--onsets cut=120: percent go from 0 to 100, the lower first."],
    [["--onsets", "bang=5"], '--onsets knows cut, turn, restart, from-rest; "bang" is none of them.'],
    [
      ["--onsets", "cut"],
      '--onsets takes kinds of onset with their percent, such as cut=50-100,turn=0, not "cut".',
    ],
    [["--onsets", "cut=5,cut=6"], "--onsets names cut twice: name each once."],
    [["--mirrored", "--unmirrored"], "--mirrored and --unmirrored leave nothing: ask for one of them."],
    [
      ["--sounds", "9-2"],
      "--sounds 9-2 runs backwards: its first number is above its last. Did you mean 2-9?",
    ],
    [["--strokes", ""], '--strokes takes forward, back, hold, parted by commas; "" is none of them.'],
    [["--tempo", "0"], '--tempo takes quarters a minute from 20 to 400, not "0".'],
  ];
  for (const [words, said] of CASES) {
    const { status, out, err } = await countercut(["find", "--record", "2", "--fader", "3", ...words]);
    expect([words, status, out, err.split("\n")[0]]).toEqual([words, 2, "", said]);
  }
  for (const words of [
    ["--steps", "0", "--groups", "3"],
    ["--steps", "1000000", "--groups", "3"],
    ["--steps", "16", "--groups", ""],
    ["--steps", "16", "--groups", "0"],
    ["--steps", "16", "--groups", "-3"],
  ]) {
    const { status, out, err } = await countercut(["fill", ...words]);
    expect([words, status, out]).toEqual([words, 2, ""]);
    expect(err).toMatch(/^[A-Z-].*\.\n/);
    expect(err).not.toContain("    at ");
  }
});

test("neighbours lists what is one change away, the easiest first, and names the patterns there are", async () => {
  const { status, out } = await countercut(["neighbours", "-", "--pattern", "wake", "--json"], demo);
  expect(status).toBe(0);
  const { here, neighbours } = JSON.parse(out);
  expect(here).toMatchObject({ combinedSteps: "12", comeRoundBars: 3, comeRoundRepeats: 4 });
  const difficulties = neighbours.map((one: { difficulty: number }) => one.difficulty);
  expect(difficulties).toEqual([...difficulties].sort((a, b) => a - b));
  const table = await countercut(["neighbours", "-", "--pattern", "wake", "--top", "3"], demo);
  expect(table.out.split("\n")[2]).toMatch(/^as it is +12 +4 in 3 /);
  expect(table.out).toContain(`… 3 of ${neighbours.length}; --top lists more.`);
  const lost = await countercut(["neighbours", "-", "--pattern", "anchor"], demo);
  expect([lost.status, lost.out]).toEqual([2, ""]);
  expect(lost.err).toMatch(/^There is no pattern "anchor"; there are foghorn \(Foghorn\), wake \(Wake\), /);
  const odd = await countercut(["neighbours", "-", "--pattern", "wake", "--meter", "4/5"], demo);
  expect([odd.status, odd.err.split(",")[0]]).toEqual([2, "--meter takes a metre such as 7/8"]);
});

test("describe prints the metre with its sources, and what mends a join", async () => {
  const { out } = await countercut(["describe", "-", "--mends"], tight);
  expect(out).toContain("\nMetre\n");
  expect(out).toContain("syncopation (LHL): Longuet-Higgins & Lee 1984, Music Perception 1(4):424-441");
  expect(out).toMatch(/quay, bar 1 +End Walk 1 step earlier\. +reset +0\.25/);
  const everything = JSON.parse(
    (await countercut(["describe", "-", "--json", "--all", "--mends"], tight)).out,
  );
  expect(everything.sections[0].placements[0].metre.barPulses).toBe(8);
  expect(everything.mends[0]).toMatchObject({ to: { section: "quay", placement: 1 }, why: null });
  expect(everything.mends[0].mends.length).toBeGreaterThanOrEqual(5);
  const wrong = await countercut(["describe", "-", "--all"], tight);
  expect([wrong.status, wrong.err.split("\n")[0]]).toEqual([
    2,
    "--all goes with --json: the tables have it all.",
  ]);
});
