/** The folder that is kept fresh, on a real disk in the system's place for temporary files. */
import { mkdir, mkdtemp, readdir, readFile, realpath, rm, symlink, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import type { Edit } from "../../schemas/edit.ts";
import { clipFiles } from "../../server/clips/clipFiles.ts";
import { FolderKeeper } from "../../server/clips-folder/keeper.ts";
import { MANIFEST } from "../../server/clips-folder/manifest.ts";
import { createClipWork } from "../../server/jobs/clipWorkers.ts";
import { ClipStore } from "../../server/live/clipStore.ts";
import { Live } from "../../server/live/live.ts";
import { compile } from "../../server/routine/compile.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { writeRoutine } from "../../server/routine/write.ts";
import { disk } from "../../server/store/disk.ts";
import { StoreError } from "../../server/store/errors.ts";
import { openFolder, randomIds, realClock } from "../../server/store/folder.ts";
import type { FileSystem } from "../../server/store/fs.ts";

/** A thread needs JavaScript. */
const work = createClipWork(new URL("../../dist/server/jobs/clips.worker.js", import.meta.url));
let home: string;
let clips: string;
let live: Live;
let keeper: FolderKeeper;
/** What the disk refuses, by the code it gives. */
let refuses: { readonly method: keyof FileSystem; readonly code: string } | null = null;
const fs = new Proxy(disk, {
  get: (target, method: keyof FileSystem) =>
    refuses?.method === method
      ? () => Promise.reject(Object.assign(new Error("refused"), { code: refuses?.code }))
      : target[method],
});

beforeEach(async () => {
  home = await realpath(await mkdtemp(join(tmpdir(), "countercut-clips-")));
  clips = join(home, "taken away");
  const routines = join(home, "routines");
  await mkdir(routines);
  const folder = await openFolder(routines, { lock: null });
  await folder.create("Night Ferry", writeRoutine(DEMO));
  live = new Live(folder, realClock, () => "");
  keeper = new FolderKeeper({ routines, fs, ids: randomIds, clock: realClock, store: new ClipStore(work) });
  refuses = null;
});
afterEach(async () => {
  keeper.close();
  await live.close();
  await rm(home, { recursive: true, force: true });
});

const open = () => live.open("Night Ferry");
async function until(state: string, from = 0) {
  for (let number = from; ; ) {
    const now = await keeper.after("Night Ferry", number, 2_000);
    if (now.state === state && now.number > from) return now;
    number = now.number;
  }
}
async function edit(change: Edit): Promise<void> {
  const routine = await open();
  const answer = await routine.edit(randomIds(), routine.present.rev, change);
  expect(answer.is).toBe("ack");
}
const rename: Edit = { kind: "change-section", id: "cast-off", set: { name: "Cast away" } };
const names = async () => (await readdir(clips)).filter((name) => !name.startsWith(".")).sort();

test("the folder holds the clips and their table, and after an edit what changed, within a second", async () => {
  await keeper.choose(await open(), clips);
  const first = await until("fresh");
  const { files } = clipFiles(DEMO, compile(DEMO));
  expect(await names()).toEqual([...files.map(({ name }) => name), "sections.csv"].sort());
  for (const { name, bytes } of files)
    expect(Buffer.compare(await readFile(join(clips, name)), bytes)).toBe(0);

  const start = performance.now();
  await edit(rename);
  const next = await until("fresh", first.number);
  expect(performance.now() - start).toBeLessThan(1_000);
  // Five strands of the section, the whole and the table.
  expect(next.written).toBe(7);
  const changed = clipFiles(
    (await open()).present.worked.sound,
    compile((await open()).present.worked.sound),
  );
  for (const { name, bytes } of changed.files)
    expect(Buffer.compare(await readFile(join(clips, name)), bytes)).toBe(0);
});

test("what the user put there or changed is left and named; what the program wrote and does not need goes", async () => {
  await mkdir(clips);
  const own = "02_ring-road_sounds_08bars_092.0bpm_4-4.mid";
  const { files } = clipFiles(DEMO, compile(DEMO));
  const [mine, theirs] = [files[0]?.name as string, files.at(-2)?.name as string];
  await writeFile(join(clips, mine), "there before");
  await writeFile(join(clips, own), "not a clip of ours");
  const elsewhere = join(home, "elsewhere.txt");
  await writeFile(elsewhere, "no clip");
  await symlink(elsewhere, join(clips, files[2]?.name as string));
  await keeper.choose(await open(), clips);
  const first = await until("fresh");
  expect(first.left).toEqual([mine, files[2]?.name]);
  await writeFile(join(clips, theirs), "changed by hand");

  await edit({ kind: "remove-section", id: DEMO.sections.at(-1)?.id as string });
  const next = await until("fresh", first.number);
  expect(await readFile(join(clips, mine), "utf8")).toBe("there before");
  expect(await readFile(join(clips, own), "utf8")).toBe("not a clip of ours");
  expect(await readFile(join(clips, theirs), "utf8")).toBe("changed by hand");
  expect(await readFile(elsewhere, "utf8")).toBe("no clip");
  expect(next.left).toEqual([mine, files[2]?.name, theirs]);
  // All other clips of the section that went.
  expect(next.removed).toBe(4);
  const wanted = clipFiles((await open()).present.worked.sound, (await open()).present.worked.performance);
  expect(await names()).toEqual(
    [
      ...new Set([
        ...wanted.files.map(({ name }) => name),
        "sections.csv",
        mine,
        own,
        theirs,
        files[2]?.name as string,
      ]),
    ].sort(),
  );
});

test("a file that was changed by hand is written over when that is asked for", async () => {
  await keeper.choose(await open(), clips);
  const first = await until("fresh");
  const whole = "whole_night-ferry.mid";
  await writeFile(join(clips, whole), "changed by hand");
  await edit(rename);
  const next = await until("fresh", first.number);
  expect(next.left).toEqual([whole]);
  keeper.writeOver("Night Ferry", whole);
  expect((await until("fresh", next.number)).left).toEqual([]);
  expect((await readFile(join(clips, whole))).subarray(0, 4).toString()).toBe("MThd");
});

test("a disk that refuses is told in a sentence, leaves no half file, and is tried again", async () => {
  await keeper.choose(await open(), clips);
  const first = await until("fresh");
  refuses = { method: "create", code: "ENOSPC" };
  await edit(rename);
  const trouble = await until("trouble", first.number);
  expect(trouble.why).toBe(
    `The clips could not be written to ${clips}. The disk is full. Make room, then try again.`,
  );
  refuses = { method: "rename", code: "EACCES" };
  keeper.tryAgain("Night Ferry");
  await until("trouble", trouble.number);
  expect((await readdir(clips)).filter((name) => name.endsWith(".part"))).toEqual([]);
  refuses = null;
  keeper.tryAgain("Night Ferry");
  expect((await until("fresh", trouble.number)).left).toEqual([]);
});

test("a choice that cannot be remembered is refused with a sentence, and all stays as it was", async () => {
  await mkdir(clips);
  refuses = { method: "create", code: "ENOSPC" };
  await expect(keeper.choose(await open(), clips)).rejects.toThrow(
    new StoreError("read-only", "Changes cannot be saved: the disk is full."),
  );
  expect(keeper.stateOf("Night Ferry").state).toBe("off");
  refuses = null;
  await keeper.choose(await open(), clips);
  const fresh = await until("fresh");
  refuses = { method: "rename", code: "EACCES" };
  await expect(keeper.choose(await open(), null)).rejects.toBeInstanceOf(StoreError);
  expect(keeper.stateOf("Night Ferry")).toEqual(fresh);
});

test("a folder that is no whole path, cannot be made or cannot be reached is refused with a sentence", async () => {
  const file = join(home, "a file");
  await writeFile(file, "");
  for (const [path, said] of [
    ["clips", "Write the whole path"],
    [join(home, "nowhere", "clips"), "could not be made"],
    [file, "is a file"],
    [join(file, "clips"), "cannot be reached"],
    [join(home, "x".repeat(300)), "cannot be reached"],
  ] as const) {
    const chosen = await keeper.choose(await open(), path);
    expect("problem" in chosen && chosen.problem).toContain(said);
  }
  expect(keeper.stateOf("Night Ferry").state).toBe("off");
});

test("the routines' own folder is refused, and a folder that is kept for another routine", async () => {
  const own = await keeper.choose(await open(), join(home, "routines"));
  expect("problem" in own && own.problem).toContain("Choose a folder of its own");
  await mkdir(clips);
  const other = { format: "countercut-clips", version: 1, routine: "/elsewhere/x.routine.json", files: {} };
  await writeFile(join(clips, MANIFEST), JSON.stringify(other));
  await keeper.choose(await open(), clips);
  expect((await until("trouble")).why).toContain("is kept fresh for another routine");
  expect(await names()).toEqual([]);
});

test("the choice is remembered over a restart, and given up without touching the files", async () => {
  await keeper.choose(await open(), clips);
  await until("fresh");
  keeper.close();
  keeper = new FolderKeeper({
    routines: live.folder.path,
    fs,
    ids: randomIds,
    clock: realClock,
    store: new ClipStore(work),
  });
  await keeper.opened(await open());
  expect((await until("fresh")).written).toBe(0);
  await keeper.choose(await open(), null);
  expect(keeper.stateOf("Night Ferry").state).toBe("off");
  // Five strands a section, the whole and the table.
  expect(await names()).toHaveLength(5 * DEMO.sections.length + 2);
});

test("who waits for news is told when a folder is chosen or given up, and not before", async () => {
  const routine = await open();
  let told = 0;
  const news = async (number: number) => {
    const state = await keeper.after("Night Ferry", number, 20_000);
    told++;
    return state;
  };
  const chosen = news(keeper.stateOf("Night Ferry").number);
  await new Promise((resolve) => setImmediate(resolve));
  expect(told).toBe(0);
  await keeper.choose(routine, clips);
  expect((await chosen).path).toBe(clips);
  const fresh = await until("fresh");
  const given = news(fresh.number);
  await new Promise((resolve) => setImmediate(resolve));
  expect(told).toBe(1);
  await keeper.choose(routine, null);
  expect(await given).toMatchObject({ state: "off", path: null });
});
