/** Recordings on a real disk: names, order, the bin, and a disk that takes no more. */
import { mkdir, mkdtemp, readdir, readFile, rm, symlink, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { disk } from "../../server/store/disk.ts";
import { StoreError } from "../../server/store/errors.ts";
import type { FileSystem } from "../../server/store/fs.ts";
import { Recordings } from "../../server/store/recordings.ts";
import { seeded } from "../../server/sound/random.ts";
import { PowerLossDisk, PowerOff } from "./powerLoss.ts";

let folder: string;
let ids = 0;
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "recordings-"));
});
afterEach(() => rm(folder, { recursive: true }));
const of = (routine: string, fs: FileSystem = disk) =>
  new Recordings(fs, () => `id${++ids}`, folder, routine);
const code = (act: Promise<unknown>): Promise<string> =>
  act.then(
    () => "done",
    (error: unknown) => (error instanceof StoreError ? error.code : String(error)),
  );

test("are kept with their sound, listed newest first, rewritten, and go to the bin whole", async () => {
  const store = of("Caf\u00e9 \u{1f3a7} 'n' more");
  expect(await store.list()).toEqual([]);
  const sound = join(await store.place(), ".countercut-a.part");
  await writeFile(sound, "sound");
  await store.add("2026-01-02 03-04-05 a", "one", sound);
  await store.add("2026-01-03 03-04-05 b", "two", null);
  expect(await store.list()).toEqual(["2026-01-03 03-04-05 b", "2026-01-02 03-04-05 a"]);
  expect(Buffer.from(await store.sound("2026-01-02 03-04-05 a")).toString()).toBe("sound");
  expect(await code(store.sound("2026-01-03 03-04-05 b"))).toBe("not-found");
  await store.rewrite("2026-01-02 03-04-05 a", "one more");
  expect(await store.note("2026-01-02 03-04-05 a")).toBe("one more");
  expect(await code(store.rewrite("2026-01-04 03-04-05 c", "x"))).toBe("not-found");
  await store.remove("2026-01-02 03-04-05 a");
  expect(await store.list()).toEqual(["2026-01-03 03-04-05 b"]);
  const [place] = await readdir(join(folder, ".bin"));
  expect((await readdir(join(folder, ".bin", place as string))).sort()).toEqual([
    "2026-01-02 03-04-05 a.json",
    "2026-01-02 03-04-05 a.wav",
  ]);
});

test("one that was kept is there after any loss of power, in its folder or in the bin", async () => {
  for (let seed = 1; seed <= 300; seed++) {
    const random = seeded(seed);
    const machine = new PowerLossDisk(random);
    const store = (fs: FileSystem) => new Recordings(fs, () => `id${++ids}`, "/root", "Ferry");
    let kept = 0;
    try {
      const first = store(machine.start(1 + Math.floor(random() * 30)));
      await first.add("a", "one", null);
      kept = 1;
      await first.add("b", "two", null);
      kept = 2;
      await first.remove("a");
    } catch (error) {
      if (!(error instanceof StoreError || error instanceof PowerOff)) throw error;
    }
    machine.crash();
    const fs = machine.start(Number.POSITIVE_INFINITY);
    const bin = "/root/.bin";
    const places = (await fs.status(bin)) === null ? [] : await fs.list(bin);
    const found = new Set(await store(fs).list());
    for (const { name } of places)
      for (const file of await fs.list(`${bin}/${name}`)) found.add(file.name.replace(".json", ""));
    expect([...found].filter((id) => ["a", "b"].slice(0, kept).includes(id)).sort(), `seed ${seed}`).toEqual(
      ["a", "b"].slice(0, kept),
    );
  }
});

test.each(["../out", "..", "", "nul", "a/b", "a\\b", "a\0b", ".hidden", "ends.", "x".repeat(151), "a:b"])(
  "%j is no recording's name, and nothing outside is touched",
  async (id) => {
    const store = of("Night Ferry");
    await store.place();
    await writeFile(join(folder, "out.json"), "outside");
    expect(await code(store.note(id))).toBe("bad-name");
    expect(await code(store.sound(id))).toBe("bad-name");
    expect(await code(store.rewrite(id, "x"))).toBe("bad-name");
    expect(await code(store.remove(id))).toBe("bad-name");
    expect(await code(store.add(id, "x", null))).toBe("bad-name");
    expect(await readFile(join(folder, "out.json"), "utf8")).toBe("outside");
    expect(await readdir(await store.place())).toEqual([]);
  },
);

test("links and folders among them are left out, and a sound that is there is not written over", async () => {
  const store = of("Night Ferry");
  const at = await store.place();
  await writeFile(join(folder, "outside"), "{}");
  await symlink(join(folder, "outside"), join(at, "link.json"));
  await mkdir(join(at, "folder.json"));
  expect(await store.list()).toEqual([]);
  expect(await code(store.note("link"))).toBe("not-ours");
  await writeFile(join(at, "one.wav"), "first");
  await writeFile(join(at, ".countercut-b.part"), "second");
  expect(await code(store.add("one", "x", join(at, ".countercut-b.part")))).toBe("read-only");
  expect(await readFile(join(at, "one.wav"), "utf8")).toBe("first");
});

test("where the disk is full nothing is kept by half, and why is said", async () => {
  const full = Object.assign(new Error("full"), { code: "ENOSPC" });
  const store = of("Night Ferry", { ...disk, create: () => Promise.reject(full) });
  await expect(store.add("one", "x", null)).rejects.toThrow("Changes cannot be saved: the disk is full.");
  expect(await readdir(await store.place())).toEqual([]);
});
