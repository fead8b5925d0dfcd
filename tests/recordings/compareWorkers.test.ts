/** A comparison in a thread of its own: how far it is, and how it is stopped. */
import { expect, test } from "vitest";
import { wavBytes } from "../../schemas/wavBytes.ts";
import type { CompareJob } from "../../server/recordings/compare.worker.ts";
import { compareInWorker } from "../../server/recordings/compareWorkers.ts";
import { compile } from "../../server/routine/compile.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { demoExpected, demoSounds } from "./demo.ts";

const script = new URL("../../dist/server/recordings/compare.worker.js", import.meta.url);
const performance = compile(DEMO);
const { start, end } = performance.sections.find((one) => one.performance.id === "moorings")!;
const { hands, beside } = demoExpected("moorings");
const { samples, beats } = demoSounds();
const job: CompareJob = {
  routine: DEMO,
  performance,
  samples,
  beats,
  stretch: { from: start, to: end, speed: 1, player: 1 },
  hands: "both",
  allowed: 0,
  played: { wav: wavBytes([hands.map((value, at) => value + beside[at]!)], 48_000, 16) },
};

test("tells how far it is, and ends where nobody waits for it any more", async () => {
  const told: number[] = [];
  const answer = await compareInWorker(job, { progress: (done) => told.push(done), script });
  expect("result" in answer && answer.result.f).toBeGreaterThan(0.95);
  expect(told.length).toBeGreaterThan(3);
  expect(told[0]).toBe(0.15);
  expect(told).toEqual([...told].sort((a, b) => a - b));
  expect(told.at(-1)).toBeLessThanOrEqual(1);

  const control = new AbortController();
  const further: number[] = [];
  const progress = (done: number): void => {
    further.push(done);
    control.abort(new Error("not wanted"));
  };
  await expect(compareInWorker(job, { progress, signal: control.signal, script })).rejects.toThrow(
    "not wanted",
  );
  expect(further).toEqual([0.15]);
});
