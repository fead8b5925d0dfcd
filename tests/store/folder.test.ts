import { mkdir, rename, mkdtemp, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import type { StoreError } from "../../server/store/errors.ts";
import { openFolder } from "../../server/store/folder.ts";
import type { EditRecord, Folder } from "../../server/store/interfaces.ts";

let path: string;
let folder: Folder;
beforeEach(async () => {
  path = await mkdtemp(join(tmpdir(), "folder-"));
  folder = await openFolder(path);
});
afterEach(async () => {
  await folder.close();
  await rm(path, { recursive: true, force: true });
});

const edit = (rev: number): EditRecord => ({ rev, opId: `op${rev}`, at: 1_000 * rev, ops: { n: rev } });
const codeOf = async (act: Promise<unknown>): Promise<string> => {
  try {
    await act;
    return "done";
  } catch (error) {
    return (error as StoreError).code;
  }
};
const reopen = async (): Promise<void> => {
  await folder.close();
  folder = await openFolder(path);
};

test("an edit is there again after the folder is opened anew, without a snapshot", async () => {
  await folder.create("Night Ferry", "start");
  const stored = await folder.open("Night Ferry");
  await Promise.all([1, 2, 3].map((rev) => stored.append(edit(rev))));
  expect(stored.state).toEqual({ is: "journalled" });
  const { epoch } = stored;
  await reopen();
  const again = await folder.open("Night Ferry");
  expect(again.start).toEqual({ text: "start", rev: 0 });
  expect(again.after).toEqual([edit(1), edit(2), edit(3)]);
  expect(again.epoch).toBe(epoch);
  expect([...again.recent]).toEqual([
    ["op1", 1],
    ["op2", 2],
    ["op3", 3],
  ]);
});

test("a snapshot writes the readable file, and recovery starts from it", async () => {
  await folder.create("Night Ferry", "start");
  const stored = await folder.open("Night Ferry");
  await stored.append(edit(1));
  await stored.append(edit(2));
  await stored.snapshot({ text: "after two", rev: 2 });
  expect(stored.state).toEqual({ is: "saved" });
  await stored.append(edit(3));
  expect(await readFile(join(path, "Night Ferry.routine.json"), "utf8")).toBe("after two");
  await reopen();
  const again = await folder.open("Night Ferry");
  expect(again.start).toEqual({ text: "after two", rev: 2 });
  expect(again.before).toEqual([edit(1), edit(2)]);
  expect(again.after).toEqual([edit(3)]);
  expect(again.notices).toEqual([]);
});

test("an edit that does not follow the last one is a mistake of the caller", async () => {
  await folder.create("Night Ferry", "start");
  const stored = await folder.open("Night Ferry");
  expect(() => stored.append(edit(2))).toThrow(RangeError);
});

test("a file changed outside is left alone until someone chooses, and the other text is kept", async () => {
  await folder.create("Night Ferry", "start");
  const stored = await folder.open("Night Ferry");
  await stored.append(edit(1));
  const file = join(path, "Night Ferry.routine.json");
  await writeFile(file, "by hand");
  await stored.snapshot({ text: "ours", rev: 1 });
  expect(stored.state).toEqual({ is: "changed-outside", outside: { text: "by hand", gone: false } });
  expect(await readFile(file, "utf8")).toBe("by hand");
  // Edits go on and stay safe meanwhile.
  await stored.append(edit(2));

  const { copy } = await stored.choose("ours", { text: "ours, two", rev: 2 });
  expect(await readFile(file, "utf8")).toBe("ours, two");
  expect(await readFile(join(path, `${copy}.routine.json`), "utf8")).toBe("by hand");
  expect(stored.state).toEqual({ is: "saved" });

  await writeFile(file, "again by hand");
  await stored.look();
  const { epoch } = stored;
  const chosen = await stored.choose("theirs", { text: "ours, two", rev: 2 });
  expect(chosen.present).toEqual({ text: "again by hand", rev: 3 });
  expect(await readFile(join(path, `${chosen.copy}.routine.json`), "utf8")).toBe("ours, two");
  expect(stored.epoch).not.toBe(epoch);
  await stored.append(edit(4));
  await reopen();
  const after = await folder.open("Night Ferry");
  expect(after.start).toEqual({ text: "again by hand", rev: 3 });
  expect(after.after).toEqual([edit(4)]);
  expect(await after.history.moment(2)).toEqual({
    base: { text: "start", rev: 0 },
    records: [
      { ...edit(1), opId: "" },
      { ...edit(2), opId: "" },
    ],
  });
});

test("a file changed while nobody looked is told on opening, and our edits are all there", async () => {
  await folder.create("Night Ferry", "start");
  const stored = await folder.open("Night Ferry");
  await stored.append(edit(1));
  await folder.close();
  await writeFile(join(path, "Night Ferry.routine.json"), "by hand");
  folder = await openFolder(path);
  const again = await folder.open("Night Ferry");
  expect(again.state).toEqual({ is: "changed-outside", outside: { text: "by hand", gone: false } });
  expect(again.start).toEqual({ text: "start", rev: 0 });
  expect(again.after).toEqual([edit(1)]);
});

test("a file taken away while it is open is told, and is written again when ours is chosen", async () => {
  await folder.create("Night Ferry", "start");
  const stored = await folder.open("Night Ferry");
  await rm(join(path, "Night Ferry.routine.json"));
  expect(await stored.look()).toEqual({ is: "changed-outside", outside: { text: null, gone: true } });
  expect(await stored.choose("ours", { text: "start", rev: 0 })).toEqual({
    present: { text: "start", rev: 0 },
    copy: null,
  });
  expect(await readFile(join(path, "Night Ferry.routine.json"), "utf8")).toBe("start");
});

test("a torn last record is dropped and said; the edits before it are kept", async () => {
  await folder.create("Night Ferry", "start");
  const stored = await folder.open("Night Ferry");
  await stored.append(edit(1));
  await stored.append(edit(2));
  await folder.close();
  const journal = join(path, ".Night Ferry.journal");
  const bytes = await readFile(journal);
  await writeFile(journal, bytes.subarray(0, bytes.length - 7));
  folder = await openFolder(path);
  const again = await folder.open("Night Ferry");
  expect(again.after).toEqual([edit(1)]);
  expect(again.notices).toHaveLength(1);
  expect(again.notices[0]).toMatch(
    /^The last write to "Night Ferry" was cut off .* \d+ bytes of it were dropped\.$/,
  );
  await again.append(edit(2));
  await reopen();
  expect((await folder.open("Night Ferry")).after).toEqual([edit(1), edit(2)]);
});

test("a journal damaged in its middle is set aside as a copy, left as it is, and the routine is read-only", async () => {
  await folder.create("Night Ferry", "start");
  const stored = await folder.open("Night Ferry");
  await stored.append(edit(1));
  await stored.append(edit(2));
  await folder.close();
  const journal = join(path, ".Night Ferry.journal");
  const bytes = await readFile(journal);
  const second = bytes.indexOf(10) + 20;
  bytes[second] = (bytes[second] as number) ^ 1;
  await writeFile(journal, bytes);
  folder = await openFolder(path);
  const again = await folder.open("Night Ferry");
  expect(again.state.is).toBe("read-only");
  expect(await codeOf(again.append(edit(1)))).toBe("read-only");
  expect(again.notices[0]).toContain("its line 2 of 3 is damaged");
  const aside = (await readdir(path)).filter((name) => name.includes(".aside-"));
  expect(aside).toHaveLength(1);
  expect(await readFile(join(path, aside[0] as string))).toEqual(bytes);
  expect(await readFile(journal)).toEqual(bytes);
});

test("a long journal becomes past, and any revision can be reached", async () => {
  await folder.close();
  folder = await openFolder(path, { journalSize: 0 });
  await folder.create("Night Ferry", "0");
  const stored = await folder.open("Night Ferry");
  for (let rev = 1; rev <= 12; rev++) {
    await stored.append(edit(rev));
    if (rev % 5 === 0) await stored.snapshot({ text: `text ${rev}`, rev });
  }
  const { history } = stored;
  expect(await history.stretches()).toEqual([
    { first: 1, last: 5, from: 1_000, to: 5_000, file: "000000000000-000000000005-1000-5000.br" },
    { first: 6, last: 10, from: 6_000, to: 10_000, file: "000000000005-000000000010-6000-10000.br" },
    { first: 11, last: 12, from: 11_000, to: 12_000 },
  ]);
  expect(await history.moment(7)).toEqual({
    base: { text: "text 5", rev: 5 },
    records: [
      { ...edit(6), opId: "" },
      { ...edit(7), opId: "" },
    ],
  });
  expect(await history.moment(10)).toEqual({ base: { text: "text 10", rev: 10 }, records: [] });
  expect(await history.moment(0)).toEqual({ base: { text: "0", rev: 0 }, records: [] });
  expect(await codeOf(history.moment(13))).toBe("not-found");
  expect((await history.list(12, 4)).map(({ rev }) => rev)).toEqual([11, 10, 9, 8]);
  await reopen();
  // An id is known across the change of journals.
  expect((await folder.open("Night Ferry")).recent.get("op3")).toBe(3);
});

test.each([
  ["", "bad-name"],
  ["a\0b", "bad-name"],
  ["CON", "bad-name"],
  ["con.txt", "bad-name"],
  ["COM¹", "bad-name"],
  ["ends with a dot.", "bad-name"],
  ["ends with a space ", "bad-name"],
  [" starts with a space", "bad-name"],
  [".hidden", "bad-name"],
  ["..", "bad-name"],
  ["a/b", "bad-name"],
  ["a\\b", "bad-name"],
  ["a\u202eb", "bad-name"],
  ["a\ud800", "bad-name"],
  ["x".repeat(243), "bad-name"],
  ["x".repeat(256), "bad-name"],
  ["é".repeat(122), "bad-name"],
  ["night ferry", "taken"],
  ["NIGHT FERRY", "taken"],
  ["Cafe\u0301", "taken"],
  ["Straße", "taken"],
  ["x".repeat(242), "done"],
  ["Nachtfähre 夜", "done"],
  ["CONsole", "done"],
])("a new routine named %j: %s", async (name, outcome) => {
  for (const there of ["Night Ferry", "Caf\u00e9", "STRASSE"]) await folder.create(there, "x");
  expect(await codeOf(folder.create(name, "text"))).toBe(outcome);
  expect(await codeOf(folder.copy("Night Ferry", name))).toBe(outcome === "done" ? "taken" : outcome);
});

test("a renamed routine keeps its edits and its past; a copied one starts afresh", async () => {
  await folder.create("Night Ferry", "start");
  const stored = await folder.open("Night Ferry");
  await stored.append(edit(1));
  await folder.copy("Night Ferry", "Day Ferry", { text: "one", rev: 1 });
  await folder.rename("Night Ferry", "night ferry", { text: "one", rev: 1 });
  expect((await folder.list()).map(({ name }) => name)).toEqual(["Day Ferry", "night ferry"]);
  const renamed = await folder.open("night ferry");
  expect(renamed.rev).toBe(1);
  expect(renamed.start).toEqual({ text: "one", rev: 1 });
  expect(await renamed.history.moment(0)).toEqual({ base: { text: "start", rev: 0 }, records: [] });
  expect(await codeOf(stored.append(edit(2)))).toBe("read-only");
  expect((await folder.open("Day Ferry")).start).toEqual({ text: "one", rev: 0 });
  expect(await codeOf(folder.rename("night ferry", "DAY FERRY"))).toBe("taken");
  expect(await codeOf(folder.rename("nobody", "x"))).toBe("not-found");
});

test("the sounds of a routine go where it goes", async () => {
  await folder.create("Night Ferry", "start");
  await mkdir(join(path, "Night Ferry.sounds"));
  await writeFile(join(path, "Night Ferry.sounds", "horn.wav"), "horn");
  await folder.copy("Night Ferry", "Day Ferry");
  await folder.rename("Night Ferry", "Late Ferry");
  await folder.remove("Late Ferry");
  expect(await readFile(join(path, "Day Ferry.sounds", "horn.wav"), "utf8")).toBe("horn");
  const [place] = await readdir(join(path, ".bin"));
  expect(await readFile(join(path, ".bin", place as string, "Late Ferry.sounds", "horn.wav"), "utf8")).toBe(
    "horn",
  );
  expect((await readdir(path)).sort()).toEqual([".bin", "Day Ferry.routine.json", "Day Ferry.sounds"]);
});

test("a file renamed by hand finds its edits again", async () => {
  await folder.create("Night Ferry", "start");
  await (await folder.open("Night Ferry")).append(edit(1));
  await folder.close();
  const text = await readFile(join(path, "Night Ferry.routine.json"));
  await rm(join(path, "Night Ferry.routine.json"));
  await writeFile(join(path, "Late Ferry.routine.json"), text);
  folder = await openFolder(path);
  expect((await folder.open("Late Ferry")).after).toEqual([edit(1)]);
  expect((await readdir(path)).sort()).toEqual([".Late Ferry.journal", "Late Ferry.routine.json"]);
});

test("a removed routine lies in the bin with its journal", async () => {
  await folder.create("Night Ferry", "start");
  await (await folder.open("Night Ferry")).append(edit(1));
  await folder.remove("Night Ferry");
  expect(await folder.list()).toEqual([]);
  const [place] = await readdir(join(path, ".bin"));
  expect((await readdir(join(path, ".bin", place as string))).sort()).toEqual([
    ".Night Ferry.journal",
    "Night Ferry.routine.json",
  ]);
  await folder.create("Night Ferry", "new");
  expect((await folder.open("Night Ferry")).rev).toBe(0);
});

test("a routine comes back from the bin with its edits and its sounds, under a free name", async () => {
  await folder.create("Night Ferry", "start");
  await (await folder.open("Night Ferry")).append(edit(1));
  await mkdir(join(path, "Night Ferry.sounds"));
  await writeFile(join(path, "Night Ferry.sounds", "horn.wav"), "horn");
  await folder.remove("Night Ferry");
  const [binned] = await folder.binned();
  expect(binned).toMatchObject({ name: "Night Ferry", size: 5 });
  await folder.create("night ferry", "another");
  expect(await folder.bringBack(binned!.place)).toBe("Night Ferry (from the bin)");
  expect((await folder.open("Night Ferry (from the bin)")).after).toEqual([edit(1)]);
  expect(await readFile(join(path, "Night Ferry (from the bin).sounds", "horn.wav"), "utf8")).toBe("horn");
  expect(await folder.binned()).toEqual([]);
  expect(await codeOf(folder.bringBack(binned!.place))).toBe("not-found");
  expect(await codeOf(folder.bringBack("../.."))).toBe("not-found");
});

test("a way back from the bin that was broken off is gone again", async () => {
  await folder.create("Night Ferry", "start");
  await (await folder.open("Night Ferry")).append(edit(1));
  await folder.remove("Night Ferry");
  const [binned] = await folder.binned();
  const journal = ".Night Ferry.journal";
  await rename(join(path, ".bin", binned!.place, journal), join(path, journal));
  expect(await folder.bringBack(binned!.place)).toBe("Night Ferry");
  expect((await folder.open("Night Ferry")).after).toEqual([edit(1)]);
});

test("the second server is told who holds the folder and where it answers", async () => {
  folder.announce("http://127.0.0.1:4321");
  await expect(openFolder(path)).rejects.toThrow(
    `Another server (process ${process.pid}) holds the folder ${folder.path}. Open http://127.0.0.1:4321 in the browser`,
  );
  await folder.close();
  folder = await openFolder(path);
});
