/** Turns at something that few may do at a time; and how open routines take them at the disk. */
import { afterEach, expect, test, vi } from "vitest";
import { DiskTurns } from "../../server/live/diskTurns.ts";
import { Live } from "../../server/live/live.ts";
import { Turns } from "../../server/jobs/turns.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { writeRoutine } from "../../server/routine/write.ts";
import { HandClock, MemoryFolder } from "./memoryFolder.ts";
import { settle } from "./replica.ts";

test("so many go at a time, the others in the order in which they came, also after one that failed", async () => {
  const turns = new Turns(2);
  const log: string[] = [];
  const ends: (() => void)[] = [];
  const taken = ["a", "b", "c", "d"].map((name, index) =>
    turns.take(async () => {
      log.push(name);
      await new Promise<void>((end) => ends.push(end));
      if (index === 0) throw new Error("lost");
      return name.toUpperCase();
    }),
  );
  const all = Promise.allSettled(taken);
  await settle();
  expect(log).toEqual(["a", "b"]);
  ends[0]!();
  await settle();
  expect(log).toEqual(["a", "b", "c"]);
  for (const end of ends) end();
  await settle();
  ends.at(-1)!();
  expect((await all).map((one) => ("value" in one ? one.value : String(one.reason)))).toEqual([
    "Error: lost",
    "B",
    "C",
    "D",
  ]);
  expect(await turns.take(async () => "again")).toBe("again");
});

test("edits of a fourth routine wait for room at the disk, and those that come meanwhile go with them", async () => {
  vi.useFakeTimers({ toFake: ["setTimeout"] });
  const folder = new MemoryFolder();
  const live = new Live(folder, new HandClock(), () => "");
  const routines = await Promise.all(
    ["One", "Two", "Three", "Four"].map(async (name) => {
      await folder.create(name, writeRoutine(DEMO));
      return live.open(name);
    }),
  );
  let held: (() => void)[] = [];
  folder.disk.delay = () => new Promise((go) => held.push(go));
  const edit = (index: number, turn: number) =>
    routines[index]!.edit(`edit-${index}-${turn}`, turn, { kind: "title", title: `Title ${turn}` });
  const gathered = async (): Promise<void> => {
    await settle();
    await vi.advanceTimersByTimeAsync(12);
    await settle();
  };
  const answers: ReturnType<typeof edit>[] = [];
  for (let index = 0; index < 4; index++) {
    answers.push(edit(index, 0));
    await gathered();
  }
  expect(held).toHaveLength(3);

  const changes: number[] = [];
  routines[3]!.watch({
    changed: () => changes.push(routines[3]!.present.rev),
    saved: () => {},
    replaced: () => {},
  });
  answers.push(edit(3, 1), edit(3, 2));
  await settle();
  folder.disk.delay = async () => {};
  for (const go of held) go();
  held = [];
  expect((await Promise.all(answers)).map(({ is, rev }) => [is, rev])).toEqual([
    ["ack", 1],
    ["ack", 1],
    ["ack", 1],
    ["ack", 1],
    ["ack", 2],
    ["ack", 3],
  ]);
  expect(changes).toEqual([3]);
});

afterEach(() => {
  vi.useRealTimers();
});

/**
 * What a routine's watchers are told of, where a second edit comes some turns after the first.
 * @param others routines whose edits are on their way to the disk
 * @param pages that edit this one
 */
async function toldOf(others: number, pages = 0): Promise<number[]> {
  vi.useFakeTimers({ toFake: ["setTimeout"] });
  const folder = new MemoryFolder();
  const live = new Live(folder, new HandClock(), () => "");
  const open = async (name: string) => {
    await folder.create(name, writeRoutine(DEMO));
    return live.open(name);
  };
  const held: (() => void)[] = [];
  folder.disk.delay = () => new Promise((go) => held.push(go));
  for (let index = 0; index < others; index++) {
    const other = await open(`Other ${index}`);
    void other.edit(`edit-${index}`, 0, { kind: "title", title: "Other" });
    await settle();
  }
  folder.disk.delay = async () => {};
  const routine = await open("Night Ferry");
  const told: number[] = [];
  const nothing = { changed: () => {}, saved: () => {}, replaced: () => {} };
  routine.watch({ ...nothing, changed: () => told.push(routine.present.rev) });
  for (let page = 0; page < pages; page++) routine.watch({ ...nothing, edits: true });
  const first = routine.edit("first", 0, { kind: "title", title: "One" });
  await settle();
  const second = routine.edit("second", 1, { kind: "title", title: "Two" });
  await settle();
  await vi.advanceTimersByTimeAsync(12);
  expect(await Promise.all([first, second])).toMatchObject([{ rev: 1 }, { rev: 2 }]);
  for (const go of held) go();
  return told;
}

test("while another routine is written, a batch waits for more to come along; otherwise it does not", async () => {
  expect(await toldOf(0)).toEqual([1, 2]);
  expect(await toldOf(1)).toEqual([2]);
});

test("a batch waits no longer than for one edit of each page: more cannot come before these are answered", async () => {
  expect(await toldOf(1, 1)).toEqual([1, 2]);
  expect(await toldOf(1, 3)).toEqual([2]);
});

test("files are written whole one at a time, each some time after another", async () => {
  vi.useFakeTimers({ toFake: ["setTimeout"] });
  const turns = new DiskTurns();
  const log: string[] = [];
  const all = ["a", "b", "c"].map((name) => turns.snapshot(async () => void log.push(name)));
  await vi.advanceTimersByTimeAsync(99);
  expect(log).toEqual(["a"]);
  await vi.advanceTimersByTimeAsync(1);
  expect(log).toEqual(["a", "b"]);
  await vi.advanceTimersByTimeAsync(100);
  expect(log).toEqual(["a", "b", "c"]);
  await Promise.all(all);
});
