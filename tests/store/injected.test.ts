/** The real process on the real disk, where a chosen call to the system fails or is the last one. */
import { execFileSync, spawnSync } from "node:child_process";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { openFolder } from "../../server/store/folder.ts";

const STREAM = new URL("./stream.mjs", import.meta.url).pathname;

/** Whether `strace` is there, and may watch a process. */
const watches = ((): boolean => {
  try {
    execFileSync("strace", ["-qq", "-e", "trace=none", "true"], { stdio: "ignore" });
    return true;
  } catch {
    return false;
  }
})();

/** @returns the last acknowledged revision, and what the process complained of */
function editUnder(path: string, injection: string): { acknowledged: number; complaint: string } {
  const call = injection.split(":")[0] as string;
  // The calls of the store's own files alone: writing to the terminal is not to fail.
  const only = call === "write" ? ["-P", join(path, ".Night Ferry.journal")] : [];
  const done = spawnSync(
    "strace",
    [
      "-f",
      "-qq",
      "-o",
      "/dev/null",
      ...only,
      "-e",
      `trace=${call}`,
      "-e",
      `inject=${injection}`,
      process.execPath,
      STREAM,
      path,
    ],
    // Files go by calls that can be watched, and no process edits for ever where nothing fails.
    {
      encoding: "utf8",
      timeout: 20_000,
      killSignal: "SIGKILL",
      env: { ...process.env, UV_USE_IO_URING: "0" },
    },
  );
  // It was ended here because nothing failed: the fault was not injected.
  if (done.error !== undefined) throw done.error;
  const revs = done.stdout.split("\n").slice(0, -1).map(Number);
  return { acknowledged: Math.max(0, ...revs), complaint: done.stderr };
}

test.skipIf(!watches).each([
  ["fdatasync:error=EIO:when=7", "the disk reports a fault"],
  ["fdatasync:signal=KILL:when=12", null],
  ["write:error=ENOSPC:when=9", "the disk is full"],
  ["write:signal=KILL:when=9", null],
  ["fsync:error=EIO:when=3", "the disk reports a fault"],
  ["fsync:signal=KILL:when=4", null],
  ["rename:error=EIO:when=1", "the disk reports a fault"],
  ["rename:signal=KILL:when=2", null],
] as const)("%s costs no acknowledged edit", async (injection, why) => {
  const path = await mkdtemp(join(tmpdir(), "injected-"));
  const made = await openFolder(path);
  await made.create("Night Ferry", "start");
  await made.close();
  const { acknowledged, complaint } = editUnder(path, injection);
  expect(acknowledged).toBeGreaterThan(0);
  if (why !== null) expect(complaint).toContain(`Changes cannot be saved: ${why}.`);
  const folder = await openFolder(path);
  const stored = await folder.open("Night Ferry");
  expect(stored.rev).toBeGreaterThanOrEqual(acknowledged);
  const edits = Array.from({ length: stored.rev }, (_, index) => `e${index + 1}`);
  expect([stored.start.text, ...stored.after.map(({ ops }) => ops as string)].join(",")).toBe(
    ["start", ...edits].join(","),
  );
  expect(["saved", "journalled"]).toContain(stored.state.is);
  await folder.close();
  await rm(path, { recursive: true });
});
