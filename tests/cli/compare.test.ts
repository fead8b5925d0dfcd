import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { wavBytes } from "../../schemas/wavBytes.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { writeRoutine } from "../../server/routine/write.ts";
import { readWav } from "../../server/sound/wavread.ts";
import { countercut, scratchFolder } from "./run.ts";

test("compare-times prints the published measure of two files", async () => {
  const folder = scratchFolder();
  writeFileSync(join(folder, "meant.txt"), "# seconds\n0.5\n1.0\n1.5\n2.0\n");
  writeFileSync(join(folder, "played.txt"), "2.03\n0.51\n1.02\n9\n");
  const { status, out } = await countercut(
    ["compare-times", "meant.txt", "played.txt", "--json"],
    "",
    folder,
  );
  expect(status).toBe(0);
  const result = JSON.parse(out);
  expect(result).toMatchObject({ precision: 0.75, recall: 0.75, f: 0.75, matched: 3 });
  expect(result.meanErrorMs).toBeCloseTo(20, 9);
  expect(result.spreadMs).toBeCloseTo(Math.sqrt(200 / 3), 9);
  const wrong = await countercut(["compare-times", "meant.txt", "-"], "1\nsoon\n", folder);
  expect(wrong.status).toBe(2);
  expect(wrong.err).toContain('-, line 2: "soon" is no time in seconds');
});

test("compare-recording hears the program's own rendering as what was meant, and a late one as late", async () => {
  const folder = scratchFolder();
  writeFileSync(join(folder, "ferry.routine.json"), writeRoutine(DEMO));
  const render = [
    "sound",
    "ferry.routine.json",
    "--section",
    "moorings",
    "--part",
    "scratch",
    "--out",
    "played.wav",
  ];
  expect((await countercut(render, "", folder)).status).toBe(0);
  const compare = [
    "compare-recording",
    "ferry.routine.json",
    "--section",
    "Moorings",
    "--audio",
    "played.wav",
    "--json",
  ];
  const own = JSON.parse((await countercut(compare, "", folder)).out);
  expect(own.lagMs).toBeCloseTo(0, 0);
  expect(own.spreadMs).toBeLessThan(1);
  expect(own.recall).toBeGreaterThan(0.9);

  // The same 37 ms later: 1,776 frames of silence before the sound.
  const read = readWav(readFileSync(join(folder, "played.wav")));
  if ("problem" in read) throw new Error(read.problem);
  const late = read.wav.channels.map((channel) => {
    const later = new Float32Array(1_776 + channel.length);
    later.set(channel, 1_776);
    return later;
  });
  writeFileSync(join(folder, "played.wav"), wavBytes(late, 48_000, 24));
  const later = JSON.parse((await countercut(compare, "", folder)).out);
  expect(Math.abs(later.lagMs - 37)).toBeLessThan(2);
  expect(later.spreadMs).toBeLessThan(1);
}, 180_000);
