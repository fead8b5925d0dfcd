import { describe, expect, it } from "vitest";
import { buildInWorker } from "../../server/sound/tableWorkers.ts";
import { sampleJob } from "../../server/sound/prepare.ts";
import { buildTables } from "../../server/sound/tables.ts";

/** A worker needs JavaScript: the build is made before the tests. */
const script = new URL("../../dist/server/sound/tables.worker.js", import.meta.url);
const job = sampleJob({ id: "s", builtIn: "stab", repeatsEvery: 90 }, undefined, null)!;

describe("tables in a worker", () => {
  it("are those that the main thread would build, with progress", async () => {
    const told: number[] = [];
    const tables = await buildInWorker(job, { script, progress: (part) => told.push(part) });
    const { data, ...rest } = buildTables(job.pcm, job.options);
    expect(tables).toMatchObject(rest);
    expect(tables.data.length).toBe(data.length);
    for (const [i, row] of data.entries()) {
      expect(Buffer.compare(Buffer.from(tables.data[i]!.buffer), Buffer.from(row.buffer))).toBe(0);
    }
    expect(told.at(-1)).toBe(1);
    expect(told.length).toBeGreaterThan(5);
  });

  it("that cannot be built say why", async () => {
    const impossible = { pcm: { rate: 48_000, channels: [] }, options: { repeatSeconds: 1 } };
    await expect(buildInWorker(impossible, { script })).rejects.toThrow(
      "A sample needs at least one channel.",
    );
  });

  it("that nobody wants any more are given up", async () => {
    const control = new AbortController();
    const building = buildInWorker(job, { script, signal: control.signal });
    control.abort(new Error("enough"));
    await expect(building).rejects.toThrow("enough");
  });
});
