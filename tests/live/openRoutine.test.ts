/** What an open routine says of an edit to who watches it, before and after the disk has it; and what goes in one batch. */
import { beforeEach, describe, expect, test, vi } from "vitest";
import { Live } from "../../server/live/live.ts";
import type { OpenRoutine } from "../../server/live/openRoutine.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { writeRoutine } from "../../server/routine/write.ts";
import { HandClock, MemoryFolder } from "./memoryFolder.ts";
import { settle, TestPage } from "./replica.ts";

let folder: MemoryFolder;
let live: Live;
let routine: OpenRoutine;
let log: string[];
/** What the disk holds back. */
let held: (() => void)[];
const release = (): void => {
  for (const go of held.splice(0)) go();
};
const turn = (): Promise<void> => new Promise((go) => setImmediate(go));
let count: number;
const title = (on: number) =>
  routine.edit(`operation-${++count}`, on, { kind: "title", title: `Title ${count}` });

beforeEach(async () => {
  folder = new MemoryFolder();
  await folder.create("Night Ferry", writeRoutine(DEMO));
  live = new Live(folder, new HandClock(), () => "");
  routine = await live.open("Night Ferry");
  log = [];
  held = [];
  count = 0;
  routine.watch({
    coming: ({ rev }) => log.push(`coming ${rev}`),
    changed: () => log.push(`changed ${routine.present.rev}`),
    saved: () => {},
    replaced: () => {},
  });
});
const slowDisk = (): void => {
  folder.disk.delay = () => new Promise((go) => held.push(go));
};

describe("what is too much for pages", () => {
  /** 65,536 strokes in a bar of 64 whole notes. */
  const dense = (bars: number) => ({
    ...DEMO,
    patterns: [
      {
        id: "swell",
        record: { step: "1/1024", strokes: [{ move: "forward" as const }, { move: "back" as const }] },
        fader: { step: "1", cells: [{ fader: "open" as const }] },
      },
    ],
    sections: [
      { id: "cast-off", bars, meter: "64/1", tempo: 92, placements: [{ pattern: "swell", bar: 1 }] },
    ],
  });
  const SENTENCE =
    "cast-off: from here on there are more strokes, openings, sounds and hits in 32 sections than a page can show. Shorten them, or split less finely; the command line still takes the file.";

  test("is not opened, and says so before anything is worked out", async () => {
    await folder.create("Dense", writeRoutine(dense(60)));
    await expect(live.open("Dense")).rejects.toThrow(`Dense cannot be opened: ${SENTENCE}`);
  });

  test("does not come of an edit: it is refused, and the next is made", async () => {
    await folder.create("Dense", writeRoutine(dense(1)));
    const open = await live.open("Dense");
    const bars = (count: number) =>
      open.edit(`${count}-bars`, open.present.rev, {
        kind: "change-section",
        id: "cast-off",
        set: { bars: count },
      });
    expect(await bars(60)).toEqual({ is: "refused", rev: 0, message: SENTENCE });
    expect(await bars(2)).toMatchObject({ is: "ack", rev: 1 });
    expect(open.present.routine.sections[0]?.bars).toBe(2);
  });
});

test("what will be the present is said while the disk writes, and told when the disk has it", async () => {
  slowDisk();
  const answer = title(0);
  await settle();
  expect([log, routine.present.rev]).toEqual([["coming 1"], 0]);
  release();
  expect(await answer).toMatchObject({ is: "ack", rev: 1 });
  expect(log).toEqual(["coming 1", "changed 1"]);
});

test("where the disk fails it never was: watchers and pages are told nothing, and the answer is why", async () => {
  const page = new TestPage(live).connect();
  page.say({ type: "open", ask: 1, name: "Night Ferry" });
  await settle();
  const before = page.count("changed");
  slowDisk();
  const answer = title(0);
  await settle();
  folder.disk.fails = "The disk is full.";
  release();
  expect(await answer).toMatchObject({ is: "refused", rev: 0, message: "The disk is full." });
  await settle();
  expect(log).toEqual(["coming 1"]);
  expect([page.count("changed"), routine.present.rev]).toEqual([before, 0]);
});

test("nothing is prepared where the disk was done first, and a watcher that throws stops nothing", async () => {
  await title(0);
  await settle();
  expect(log).toEqual(["changed 1"]);
  const said = vi.spyOn(console, "error").mockImplementation(() => {});
  routine.watch({
    coming: () => {
      throw new Error("a bug");
    },
    changed: () => {},
    saved: () => {},
    replaced: () => {},
  });
  slowDisk();
  const answer = title(1);
  await settle();
  release();
  expect(await answer).toMatchObject({ is: "ack", rev: 2 });
  expect(said).toHaveBeenCalledOnce();
  said.mockRestore();
});

test("a batch behind another waits a turn more, so that the edits of who was just answered come along", async () => {
  slowDisk();
  const first = title(0);
  await settle();
  const second = title(1);
  await settle();
  release();
  await first;
  // As a page does whose answer goes over its socket and comes back as an edit.
  await turn();
  await turn();
  const third = title(2);
  await settle();
  release();
  await settle();
  release();
  expect(await Promise.all([second, third])).toMatchObject([{ rev: 2 }, { rev: 3 }]);
  expect(log.filter((line) => line.startsWith("changed"))).toEqual(["changed 1", "changed 3"]);
});
