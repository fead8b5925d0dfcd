import { existsSync, readdirSync, readFileSync, truncateSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { DEMO } from "../../server/routine/demo.ts";
import type { Io } from "../../server/cli/command.ts";
import { readBytes } from "../../server/cli/files.ts";
import { writeRoutine } from "../../server/routine/write.ts";
import { readWav } from "../../server/sound/wavread.ts";
import { countercut, scratchFolder } from "../cli/run.ts";

it("countercut sound writes a section as WAV, whole, with progress and loudness on standard error", async () => {
  const folder = scratchFolder();
  writeFileSync(join(folder, "demo.routine.json"), writeRoutine(DEMO));
  const ran = await countercut(
    ["sound", "demo.routine.json", "--out", "quay.wav", "--section", "Quay", "--part", "scratch"],
    "",
    folder,
  );
  expect(ran).toMatchObject({ status: 0, out: "" });
  expect(ran.err).toContain("50 %\n");
  expect(ran.err).toMatch(/quay\.wav: 10\.435 s, −\d+\.\d LUFS, true peak −\d+\.\d dBTP\n$/);
  const result = readWav(readFileSync(join(folder, "quay.wav")));
  if ("problem" in result) throw new Error(result.problem);
  // Four bars of 4/4 at 92.
  expect(result.wav.channels[0]).toHaveLength(Math.round((16 * 60 * 48_000) / 92));
  expect(readdirSync(folder).sort()).toEqual(["demo.routine.json", "quay.wav"]);
});

it("countercut sound used wrongly says how, exits 2, and leaves nothing behind", async () => {
  const folder = scratchFolder();
  writeFileSync(join(folder, "demo.routine.json"), writeRoutine(DEMO));
  const fails = async (...words: string[]) => {
    const { status, err } = await countercut(["sound", "demo.routine.json", ...words], "", folder);
    expect(status).toBe(2);
    return err.split("\n")[0];
  };
  expect(await fails()).toBe("sound needs --out with the name of the WAV file to write.");
  expect(await fails("--out", "x.wav", "--part", "bass")).toBe(
    '--part takes mix, scratch, beat, click, not "bass".',
  );
  expect(await fails("--out", "x.wav", "--section", "nope")).toMatch(
    /^There is no section "nope"; there are quay \(Quay\), cast-off \(Cast off\), /,
  );
  expect(await fails("--out", "not/there.wav", "--section", "quay")).toContain("could not be written");
  expect(existsSync(join(folder, "x.wav"))).toBe(false);
});

it("reads a sound whole, also one that is larger than a routine file may be", async () => {
  const folder = scratchFolder();
  const file = join(folder, "long.wav");
  writeFileSync(file, "RIFF");
  truncateSync(file, 40 * 1024 * 1024);
  expect(await readBytes(file, { cwd: folder } as Io)).toHaveLength(40 * 1024 * 1024);
});
