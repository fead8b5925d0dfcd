import { spawn } from "node:child_process";
import { once } from "node:events";
import { closeSync, existsSync, openSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { DEMO } from "../../server/routine/demo.ts";
import { writeRoutine } from "../../server/routine/write.ts";
import { WORKED_FILE } from "../routine/workedFile.ts";
import { countercut, PROGRAM, scratchFolder } from "./run.ts";

const COMMANDS = [
  "serve",
  "new",
  "check",
  "timeline",
  "describe",
  "clips",
  "sound",
  "find",
  "fill",
  "neighbours",
  "compare-times",
  "compare-recording",
  "doctor",
];

test("--help lists every command, and each command has a help of its own", async () => {
  const { status, out, err } = await countercut(["--help"]);
  expect(status).toBe(0);
  expect(err).toBe("");
  const helps = await Promise.all(COMMANDS.map((name) => countercut([name, "--help"])));
  for (const [index, name] of COMMANDS.entries()) {
    expect(out).toContain(`\n  ${name} `);
    const help = helps[index]!;
    expect(help.status).toBe(0);
    expect(help.out).toMatch(new RegExp(`^usage: countercut ${name} `));
    for (const line of help.out.split("\n")) expect(line.length).toBeLessThanOrEqual(120);
  }
});

test("used wrongly, it says so on standard error and exits 2", async () => {
  for (const words of [
    [],
    ["sail"],
    ["check"],
    ["check", "a", "b"],
    ["check", "--jason", "a"],
    ["timeline", "not-there.json"],
    ["toString"],
  ]) {
    const { status, out, err } = await countercut(words);
    expect([words, status]).toEqual([words, 2]);
    expect(out).toBe("");
    expect(err).not.toBe("");
    expect(err).not.toContain("    at ");
  }
});

test("new writes the demo routine, and leaves a file that is there as it is", async () => {
  const folder = scratchFolder();
  expect(await countercut(["new", "ferry.routine.json"], "", folder)).toEqual({
    status: 0,
    out: "",
    err: "",
  });
  expect(readFileSync(join(folder, "ferry.routine.json"), "utf8")).toBe(writeRoutine(DEMO));
  writeFileSync(join(folder, "mine.routine.json"), "mine");
  const second = await countercut(["new", "mine.routine.json"], "", folder);
  expect(second.status).toBe(2);
  expect(second.err).toContain("it is there already");
  expect(readFileSync(join(folder, "mine.routine.json"), "utf8")).toBe("mine");
  expect(readdirSync(folder).sort()).toEqual(["ferry.routine.json", "mine.routine.json"]);
  expect((await countercut(["new", "-"])).out).toBe(writeRoutine(DEMO));
});

test("new writes an example and the tape that it plays, or neither", async () => {
  const kept = scratchFolder();
  const written = await countercut(["new", "waltz.routine.json", "--example", "attic-waltz"], "", kept);
  expect(written.status).toBe(0);
  expect(readdirSync(kept).sort()).toEqual(["waltz.routine.json", "waltz.sounds"]);
  expect(readdirSync(join(kept, "waltz.sounds"))).toHaveLength(1);
  const folder = scratchFolder();
  writeFileSync(join(folder, "waltz.sounds"), "in the way");
  const refused = await countercut(["new", "waltz.routine.json", "--example", "attic-waltz"], "", folder);
  expect(refused.status).toBe(2);
  expect(refused.err).toMatch(/waltz\.sounds could not be written: it is there already\.\n$/);
  expect(readdirSync(folder)).toEqual(["waltz.sounds"]);
});

test("check prints problems, and exits 1 for errors only", async () => {
  const good = await countercut(["check", "-", "--json"], writeRoutine(DEMO));
  expect(good.status).toBe(0);
  expect(JSON.parse(good.out)).toEqual({ problems: [] });

  const bad = await countercut(["check", "-", "--json"], WORKED_FILE.replace('"bars": 4,', '"bars": 0,'));
  expect(bad.status).toBe(1);
  expect(JSON.parse(bad.out).problems).toEqual([
    {
      code: "out-of-range",
      severity: "error",
      place: "/sections/0/bars",
      message: "Cast off, bars: must be at least 1. Change the value.",
    },
  ]);

  const table = await countercut(["check", "-"], WORKED_FILE.replace('"bars": 4,', '"bars": 0,'));
  expect(table.out).toBe(
    "error: /sections/0/bars: out-of-range: Cast off, bars: must be at least 1. Change the value.\n",
  );
});

test("timeline prints the sections in units, seconds and degrees", async () => {
  const { status, out } = await countercut(["timeline", "-"], WORKED_FILE);
  expect(status).toBe(0);
  const { unitsPerQuarter, sections } = JSON.parse(out);
  expect(unitsPerQuarter).toBe(1210809600);
  expect(
    sections.map(({ id, start, end }: { id: string; start: number; end: number }) => [id, start, end]),
  ).toEqual([
    ["cast-off", 0, 16 * 1210809600],
    ["open-water", 16 * 1210809600, 48 * 1210809600],
  ]);
  // 93 to 97 over 32 quarters: 60·32/4·ln(97/93) s.
  expect(sections[1].endSeconds - sections[1].startSeconds).toBeCloseTo(20.213512968, 9);
  expect(sections[0].sounds[0]).toEqual({
    start: 0,
    end: 227026800,
    direction: "forward",
    onset: "cut",
    from: 0,
    // Three quarters of an eased stroke of 45 degrees.
    to: (45 * (1 - Math.cos(0.75 * Math.PI))) / 2,
    placement: 0,
  });
});

test("a routine with errors makes timeline, describe, clips and sound say them and exit 1", async () => {
  const folder = scratchFolder();
  const text = WORKED_FILE.replace('"beat": "engine-room"', '"beat": "boiler"');
  for (const words of [
    ["timeline", "-"],
    ["describe", "-"],
    ["clips", "-", "--out", "clips"],
    ["sound", "-", "--out", "a.wav"],
  ]) {
    const { status, out, err } = await countercut(words, text, folder);
    expect([words, status, out]).toEqual([words, 1, ""]);
    expect(err).toContain("/sections/0/beat: unknown-beat: Cast off:");
  }
  expect(readdirSync(folder)).toEqual([]);
});

test.runIf(existsSync("/dev/full"))(
  "a result that finds no room is said, and is no fault of the routine",
  async () => {
    const full = openSync("/dev/full", "w");
    const child = spawn(process.execPath, [PROGRAM, "timeline", "-"], { stdio: ["pipe", full, "pipe"] });
    let err = "";
    child.stderr?.on("data", (chunk) => {
      err += chunk;
    });
    child.stdin?.end(writeRoutine(DEMO));
    const [status] = await once(child, "close");
    closeSync(full);
    expect([status, err]).toEqual([
      2,
      "The result could not be written: ENOSPC: no space left on device, write.\n",
    ]);
  },
);

test("a reader that closes early is no error", async () => {
  const child = spawn(process.execPath, [PROGRAM, "timeline", "-"], { stdio: ["pipe", "pipe", "pipe"] });
  let err = "";
  child.stderr.on("data", (chunk) => {
    err += chunk;
  });
  child.stdin.end(writeRoutine(DEMO));
  await once(child.stdout, "data");
  child.stdout.destroy();
  const [status] = await once(child, "close");
  expect([status, err]).toEqual([0, ""]);
});
