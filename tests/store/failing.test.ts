import { execFileSync } from "node:child_process";
import { chmod, mkdtemp, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { disk } from "../../server/store/disk.ts";
import { openFolder } from "../../server/store/folder.ts";
import type { FileSystem, Handle } from "../../server/store/fs.ts";
import type { EditRecord, SaveState } from "../../server/store/interfaces.ts";

const edit = (rev: number, ops: unknown = rev): EditRecord => ({ rev, opId: `op${rev}`, at: 1_000, ops });
const fresh = (): Promise<string> => mkdtemp(join(tmpdir(), "failing-"));
const outcome = (act: Promise<unknown>): Promise<string> =>
  act.then(
    () => "done",
    (error: Error) => error.message,
  );

/** The real disk, where a call fails once it is told to; counts what is done with each handle after that. */
function failing(
  what: "write" | "datasync" | "sync",
  code: string,
): { fs: FileSystem; fail: () => void; after: string[] } {
  let on = false;
  const after: string[] = [];
  const wrap = (handle: Handle): Handle => {
    let broken = false;
    const call =
      <T extends unknown[], R>(name: string, act: (...args: T) => Promise<R>) =>
      (...args: T): Promise<R> => {
        if (broken) after.push(name);
        if (on && name === what) {
          broken = true;
          return Promise.reject(Object.assign(new Error(code), { code }));
        }
        return act(...args);
      };
    return {
      write: call("write", (bytes: Uint8Array) => handle.write(bytes)),
      datasync: call("datasync", () => handle.datasync()),
      sync: call("sync", () => handle.sync()),
      size: () => handle.size(),
      close: () => handle.close(),
    };
  };
  return {
    fs: {
      ...disk,
      create: async (path) => wrap(await disk.create(path)),
      append: async (path) => wrap(await disk.append(path)),
    },
    fail: () => {
      on = !on;
    },
    after,
  };
}

test.each([
  ["write", "ENOSPC", "Changes cannot be saved: the disk is full."],
  ["datasync", "EIO", "Changes cannot be saved: the disk reports a fault."],
] as const)(
  "a failed %s makes the routine read-only, acknowledges nothing, and the handle is not used again",
  async (what, code, why) => {
    const path = await fresh();
    const { fs, fail, after } = failing(what, code);
    const folder = await openFolder(path, { fs });
    await folder.create("Night Ferry", "start");
    const stored = await folder.open("Night Ferry");
    await stored.append(edit(1));
    const states: SaveState[] = [];
    stored.onState((state) => states.push(state));
    fail();
    expect(await Promise.all([outcome(stored.append(edit(2))), outcome(stored.append(edit(3)))])).toEqual([
      why,
      why,
    ]);
    fail();
    expect(await outcome(stored.append(edit(4)))).toBe(why);
    await stored.snapshot({ text: "one", rev: 1 });
    expect(after).toEqual([]);
    expect(states).toEqual([{ is: "read-only", why }]);
    expect(await readFile(join(path, "Night Ferry.routine.json"), "utf8")).toBe("start");

    // Opened again, the journal is written anew: what a failed flush left behind is not trusted.
    await stored.close();
    const again = await folder.open("Night Ferry");
    expect(again.state).toEqual({ is: "journalled" });
    expect(again.after[0]).toEqual(edit(1));
    await again.append(edit(again.rev + 1));
    await folder.close();
    await rm(path, { recursive: true });
  },
);

test("a failed flush of the new file leaves the old one as it was, and nothing half-written", async () => {
  const path = await fresh();
  const { fs, fail } = failing("sync", "EIO");
  const folder = await openFolder(path, { fs });
  await folder.create("Night Ferry", "start");
  const stored = await folder.open("Night Ferry");
  await stored.append(edit(1));
  fail();
  await stored.snapshot({ text: "one", rev: 1 });
  expect(stored.state).toEqual({
    is: "read-only",
    why: "Changes cannot be saved: the disk reports a fault.",
  });
  expect(await readFile(join(path, "Night Ferry.routine.json"), "utf8")).toBe("start");
  expect((await readdir(path)).sort()).toEqual([".Night Ferry.journal", "Night Ferry.routine.json"]);
  await folder.close();
  await rm(path, { recursive: true });
});

test("a file that came out shorter than what was written does not take the place of a good one", async () => {
  const path = await fresh();
  let cut = false;
  const fs: FileSystem = {
    ...disk,
    async create(file) {
      const handle = await disk.create(file);
      return {
        write: (bytes) => handle.write(cut ? bytes.subarray(1) : bytes),
        datasync: () => handle.datasync(),
        sync: () => handle.sync(),
        size: () => handle.size(),
        close: () => handle.close(),
      };
    },
  };
  const folder = await openFolder(path, { fs });
  await folder.create("Night Ferry", "start");
  const stored = await folder.open("Night Ferry");
  await stored.append(edit(1));
  cut = true;
  await stored.snapshot({ text: "one", rev: 1 });
  expect(stored.state.is).toBe("read-only");
  expect(await readFile(join(path, "Night Ferry.routine.json"), "utf8")).toBe("start");
  await folder.close();
  await rm(path, { recursive: true });
});

/** A disk of two megabytes, or null where this user may not mount one. */
async function smallDisk(): Promise<{ path: string; end: () => Promise<void> } | null> {
  const path = await fresh();
  try {
    execFileSync("mount", ["-t", "tmpfs", "-o", "size=2m", "tmpfs", path], { stdio: "ignore" });
  } catch {
    await rm(path, { recursive: true });
    return null;
  }
  return {
    path,
    async end() {
      execFileSync("umount", [path]);
      await rm(path, { recursive: true });
    },
  };
}
const small = await smallDisk();
const remount = (path: string, how: string): void => {
  execFileSync("mount", ["-o", `remount,${how}`, path], { stdio: "ignore" });
};

test.skipIf(small === null)(
  "a disk that fills up and then is read-only: told, and nothing acknowledged is lost",
  async () => {
    const { path, end } = small as NonNullable<typeof small>;
    try {
      let folder = await openFolder(path);
      await folder.create("Night Ferry", "start");
      const stored = await folder.open("Night Ferry");
      let acknowledged = 0;
      let said = "done";
      for (let rev = 1; said === "done"; rev++) {
        said = await outcome(stored.append(edit(rev, "x".repeat(50_000))));
        if (said === "done") acknowledged = rev;
      }
      expect(said).toBe("Changes cannot be saved: the disk is full.");
      expect(acknowledged).toBeGreaterThan(10);
      await folder.close();

      remount(path, "ro");
      folder = await openFolder(path);
      const still = await folder.open("Night Ferry");
      expect(still.state).toEqual({
        is: "read-only",
        why: "Changes cannot be saved: the disk is read-only.",
      });
      expect(still.after.length).toBeGreaterThanOrEqual(acknowledged);
      expect(await outcome(folder.create("Other", "x"))).toBe(
        "Changes cannot be saved: the disk is read-only.",
      );
      await folder.close();

      remount(path, "rw,size=8m");
      folder = await openFolder(path);
      const again = await folder.open("Night Ferry");
      expect(again.after.length).toBeGreaterThanOrEqual(acknowledged);
      await again.append(edit(again.rev + 1));
      await folder.close();
    } finally {
      await end();
    }
  },
);

test.skipIf(process.getuid?.() === 0)("a folder that this user may not write opens read-only", async () => {
  const path = await fresh();
  await writeFile(join(path, "Night Ferry.routine.json"), "start");
  await chmod(path, 0o555);
  const folder = await openFolder(path);
  const stored = await folder.open("Night Ferry");
  expect(stored.start).toEqual({ text: "start", rev: 0 });
  expect(stored.state).toEqual({
    is: "read-only",
    why: "Changes cannot be saved: this user may not write into the folder of routines.",
  });
  await folder.close();
  await chmod(path, 0o755);
  await rm(path, { recursive: true });
});

test("a clock that jumps back and forth changes the times of edits, never their order", async () => {
  const path = await fresh();
  const folder = await openFolder(path, { journalSize: 0 });
  await folder.create("Night Ferry", "0");
  const stored = await folder.open("Night Ferry");
  const times = [5_000, 1, 9e12, -7, 0];
  for (const [index, at] of times.entries()) {
    await stored.append({ ...edit(index + 1), at });
    await stored.snapshot({ text: String(index + 1), rev: index + 1 });
  }
  expect((await stored.history.list(6, 9)).map(({ rev, at }) => [rev, at])).toEqual([
    [5, 0],
    [4, -7],
    [3, 9e12],
    [2, 1],
    [1, 5_000],
  ]);
  await folder.close();
  await rm(path, { recursive: true });
});
