/** Clips that are not wanted any more while they are made. */
import { readdirSync, readFileSync } from "node:fs";
import { constants } from "node:os";
import { afterAll, expect, test } from "vitest";
import { createClipWork } from "../../server/jobs/clipWorkers.ts";
import { ClipMaker } from "../../server/clips/clipMaker.ts";
import { clipFiles } from "../../server/clips/clipFiles.ts";
import { compile } from "../../server/routine/compile.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { longRoutine } from "../bench/routines.ts";

/** Niceness of each thread of this process: field 19 of stat, see proc(5). */
const niceness = (): Map<string, number> =>
  new Map(
    readdirSync("/proc/self/task").map((id) => {
      const stat = readFileSync(`/proc/self/task/${id}/stat`, "utf8");
      return [id, Number(stat.slice(stat.lastIndexOf(")") + 2).split(" ")[19 - 3])];
    }),
  );

/** A thread needs JavaScript. */
const SCRIPT = new URL("../../dist/server/jobs/clips.worker.js", import.meta.url);
const work = createClipWork(SCRIPT);
afterAll(() => work.close());

test("tell how far they are from the first section that is compiled to the last track, never going back", () => {
  const told: number[] = [];
  new ClipMaker().make(longRoutine(20), [], undefined, (done) => told.push(done));
  expect(told).toEqual(told.toSorted((a, b) => a - b));
  // Each section is told as it is compiled, and again as its clips are made.
  expect(told.length).toBeGreaterThanOrEqual(40);
  expect(told.filter((done) => done < 0.3)).toHaveLength(20);
  expect(told.at(-1)).toBeGreaterThan(0.9);
  expect(told.at(-1)).toBeLessThan(1);
});

test("are given up on the way, having told how far they were, and what is asked next is made", async () => {
  const asked = { key: 1, routine: longRoutine(60), leftOut: [] };
  const control = new AbortController();
  const told: number[] = [];
  const tell = (done: number): void => {
    told.push(done);
    control.abort();
  };
  await expect(work.clips(asked, { tell, signal: control.signal })).rejects.toHaveProperty(
    "name",
    "AbortError",
  );
  expect(told.length).toBeGreaterThan(0);
  expect(told.every((done) => done >= 0 && done <= 1)).toBe(true);
  const { files } = await work.clips({ key: 2, routine: DEMO, leftOut: [] });
  const expected = clipFiles(DEMO, compile(DEMO)).files;
  expect(files.map(({ name, bytes }) => [name, bytes])).toEqual(
    expected.map(({ name, bytes }) => [name, new Uint8Array(bytes)]),
  );
});

test.runIf(process.platform === "linux")("give way to everything else in the program", async () => {
  const before = niceness();
  const another = createClipWork(SCRIPT);
  await another.clips({ key: 1, routine: DEMO, leftOut: [] });
  const begun = [...niceness()].filter(([id]) => !before.has(id)).map(([, nice]) => nice);
  another.close();
  expect(begun).toContain(constants.priority.PRIORITY_LOW);
  expect(niceness().get(`${process.pid}`)).toBeLessThan(constants.priority.PRIORITY_LOW);
});
