/** The protocol between pages and the open routine, without sockets. */
import { beforeEach, describe, expect, test, vi } from "vitest";
import { packSection } from "../../schemas/packed.ts";
import type { Placement, Routine } from "../../schemas/routine.ts";
import { Live } from "../../server/live/live.ts";
import type { OpenRoutine } from "../../server/live/openRoutine.ts";
import { createWorker, isWorked } from "../../server/live/worked.ts";
import { compile } from "../../server/routine/compile.ts";
import { DEMO as COMPOSED } from "../../server/routine/demo.ts";
import { parseRoutine } from "../../server/routine/parse.ts";
import { writeRoutine } from "../../server/routine/write.ts";
import { HandClock, MemoryFolder } from "./memoryFolder.ts";
import { settle, TestPage } from "./replica.ts";

/** As the file has it, defaults left out. */
const DEMO = parseRoutine(writeRoutine(COMPOSED)).routine as Routine;

let folder: MemoryFolder;
let clock: HandClock;
let live: Live;
const NAME = "Night Ferry";

beforeEach(async () => {
  folder = new MemoryFolder();
  clock = new HandClock();
  live = new Live(folder, clock, () => "http://127.0.0.1:1/#t=x");
  await live.create(NAME, "demo");
});

async function page(): Promise<TestPage> {
  const one = new TestPage(live).connect();
  await settle();
  one.say({ type: "open", ask: 1, name: NAME });
  await settle();
  return one;
}
const title = (text: string) => ({ kind: "title", title: text });
const edit = (opId: string, base: number, what: object) => ({
  type: "edit",
  name: NAME,
  opId,
  base,
  edit: what,
});

/** The page's replica is the server's routine, and its performance that of a fresh compile. */
function expectTrue({ replica }: TestPage, routine: Routine): void {
  expect(replica?.routine).toEqual(routine);
  const fresh = compile(routine);
  expect([...(replica?.sections.values() ?? [])]).toEqual(
    fresh.sections.map(({ performance }) => packSection(performance)),
  );
  expect(replica?.timing.start).toEqual(fresh.sections.map(({ start }) => start));
  const worked = createWorker()(routine);
  expect(replica?.problems).toEqual(isWorked(worked) ? worked.problems : null);
  expect(replica?.timing.endSeconds).toEqual(fresh.sections.map(({ endSeconds }) => endSeconds));
}

/** A page that was just told the beginning of a routine of so many sections, part-1 and on. */
async function openLong(count: number) {
  const [like] = DEMO.sections;
  const sections = Array.from({ length: count }, (_, index) => ({ ...like!, id: `part-${index + 1}` }));
  const long: Routine = { ...DEMO, sections };
  await live.create("Long", { text: writeRoutine(long) });
  const one = new TestPage(live).connect();
  await settle();
  one.say({ type: "open", ask: 1, name: "Long" });
  while (one.count("routine") === 0) await new Promise((resolve) => setImmediate(resolve));
  return { one, long, sections };
}

describe("opening", () => {
  test("a page is greeted with the folder's routines and gets the whole of the one it opens", async () => {
    const one = await page();
    expect(one.last("welcome").routines.map(({ name }) => name)).toEqual([NAME]);
    expect(one.last("routine")).toMatchObject({
      ask: 1,
      rev: 0,
      undo: null,
      redo: null,
      saved: { state: "saved" },
    });
    expectTrue(one, DEMO);
  });

  test("what cannot be worked out before any page came does not end the program", async () => {
    const beginning = vi.fn(() => {
      throw new Error("a bug");
    });
    vi.spyOn(live, "open").mockResolvedValue({ beginning } as unknown as OpenRoutine);
    await expect(live.openLatest()).resolves.toBeUndefined();
    expect(beginning).toHaveBeenCalledOnce();
  });

  test("of a long routine the first sections come at once, the rest after, edits going between", async () => {
    const { one, long, sections } = await openLong(60);
    await new Promise((resolve) => setImmediate(resolve));
    expect(one.count("sections")).toBe(0);
    clock.pass(600);
    while (one.count("sections") === 0) await new Promise((resolve) => setImmediate(resolve));
    expect(one.last("routine").sections).toHaveLength(16);
    expect(one.last("routine").sectionFacts).toHaveLength(16);
    // One that has not come yet goes to the front, and another to the end.
    one.say({
      ...edit("aaaaaaaa", 0, { kind: "move-section", id: "part-50", before: "part-1" }),
      name: "Long",
    });
    one.say({ ...edit("bbbbbbbb", 1, { kind: "remove-section", id: "part-55" }), name: "Long" });
    while (one.count("ack") < 2 || one.last("sections").left > 0)
      await new Promise((resolve) => setImmediate(resolve));
    const moved = sections.filter(({ id }) => id !== "part-50" && id !== "part-55");
    expectTrue(one, { ...long, sections: [sections[49]!, ...moved] });
    expect(one.last("sections").left).toBe(0);
  });

  test("a long routine that is changed before the rest of it came is told anew", async () => {
    const { one, long, sections } = await openLong(40);
    // Warnings need all of it: they are not known yet.
    expect(one.last("routine").problems).toEqual([]);
    one.say({ ...edit("aaaaaaaa", 0, { kind: "remove-section", id: "part-3" }), name: "Long" });
    while (one.count("ack") < 1) await new Promise((resolve) => setImmediate(resolve));
    expect(one.count("routine")).toBe(2);
    expect(one.count("changed")).toBe(0);
    clock.pass(600);
    while (one.count("sections") === 0 || one.last("sections").left > 0)
      await new Promise((resolve) => setImmediate(resolve));
    expectTrue(one, { ...long, sections: sections.filter(({ id }) => id !== "part-3") });
  });

  test("a page of another version is told to load again", async () => {
    const closed: number[] = [];
    live.onClient({
      id: 9,
      path: "/live",
      hello: JSON.stringify({ type: "hello", wire: 2, token: "t" }),
      waiting: 0,
      send: () => true,
      close: (code) => closed.push(code),
      onMessage: () => {},
      onClose: () => {},
    });
    await settle();
    expect(closed).toEqual([4001]);
  });

  test("a routine that is not there is said to be missing, at the question that asked for it", async () => {
    const one = await page();
    one.say({ type: "open", ask: 7, name: "Harbour" });
    await settle();
    expect(one.last("sorry")).toEqual({ type: "sorry", ask: 7, message: "There is no routine Harbour." });
  });

  test("a message that is none is answered, and the page goes on", async () => {
    const one = await page();
    one.say({ type: "edit", name: NAME, surplus: 1 });
    expect(one.last("sorry").ask).toBeNull();
    one.say(edit("after-nonsense", 0, title("Still here")));
    await settle();
    expect(one.replica?.routine.title).toBe("Still here");
  });
});

describe("edits", () => {
  test("an edit is told to every page before it is acknowledged, with only what it changed", async () => {
    const [one, two] = [await page(), await page()];
    const section = DEMO.sections[1]!;
    one.say(edit("op-tempo-1", 0, { kind: "change-section", id: section.id, set: { tempo: 101 } }));
    await settle();
    const types = one.got.map(({ type }) => type);
    expect(types.indexOf("changed")).toBeLessThan(types.indexOf("ack"));
    expect(one.last("ack")).toMatchObject({ opId: "op-tempo-1", rev: 1 });
    expect(two.last("changed")).toMatchObject({ from: 0, rev: 1, by: "op-tempo-1" });
    expect(two.last("changed").patch).toEqual({ sections: { values: [{ ...section, tempo: 101 }] } });
    const expected = { ...DEMO, sections: DEMO.sections.map((s, i) => (i === 1 ? { ...s, tempo: 101 } : s)) };
    expectTrue(one, expected);
    expectTrue(two, expected);
    expect(one.last("changed").undo).toBe(`Set the tempo of ${section.name} to 101`);
  });

  test("an edit is in the journal before it is acknowledged or told to anyone", async () => {
    const [one, two] = [await page(), await page()];
    let flush = (): void => {};
    folder.disk.delay = () => new Promise((resolve) => (flush = resolve));
    one.say(edit("op-slow-1", 0, title("Later")));
    await settle();
    expect([one.count("ack"), one.count("changed"), two.count("changed")]).toEqual([0, 0, 0]);
    flush();
    await settle();
    expect([one.count("ack"), one.count("changed"), two.count("changed")]).toEqual([1, 1, 1]);
    expect(folder.files.get(NAME)?.records.map(({ opId }) => opId)).toEqual(["op-slow-1"]);
  });

  test("a stale edit changes nothing and learns what came between", async () => {
    const [one, two] = [await page(), await page()];
    one.say(edit("op-first-1", 0, title("First")));
    two.say(edit("op-second-1", 0, title("Second")));
    await settle();
    expect(two.last("stale")).toEqual({
      type: "stale",
      name: NAME,
      opId: "op-second-1",
      rev: 1,
      edits: [{ rev: 1, at: clock.time, words: "Called the routine First" }],
    });
    expect(two.replica?.routine.title).toBe("First");
  });

  const [first, second] = DEMO.sections as [Routine["sections"][0], Routine["sections"][0]];
  const pitch = (id: string) => ({ kind: "change-section", id, set: { pitch: 1.5 } });
  test.each<[string, object, object]>([
    ["a field and a section", title("First"), pitch(first.id)],
    ["two sections", pitch(first.id), pitch(second.id)],
    [
      "a section, and one more",
      pitch(first.id),
      { kind: "add-section", section: { ...first, id: "new" }, before: null },
    ],
    [
      "the order of sections, and one of them",
      { kind: "move-section", id: first.id, before: null },
      pitch(first.id),
    ],
    ["what is so already", title("First"), title("First")],
  ])(
    "an edit on an older revision is made at once where it touches something else: %s",
    async (_, theirs, own) => {
      const [one, two] = [await page(), await page()];
      one.say(edit("op-theirs-1", 0, theirs));
      two.say(edit("op-own-0001", 0, own));
      await settle();
      expect([one.count("ack"), two.count("ack"), two.count("stale")]).toEqual([1, 1, 0]);
      const types = two.got.map(({ type }) => type);
      expect(types.lastIndexOf("changed")).toBeLessThan(types.indexOf("ack"));
      expectTrue(two, one.replica!.routine);
      const undone = one.replica!.rev;
      one.say({ type: "undo", name: NAME, opId: "undo-0001", base: undone });
      await settle();
      one.say({ type: "undo", name: NAME, opId: "undo-0002", base: undone + 1 });
      await settle();
      expectTrue(two, DEMO);
    },
  );

  const [placement] = first.placements;
  const address = { section: first.id, index: 0, expected: placement };
  test.each<[string, object, object]>([
    ["the same field", title("First"), title("Second")],
    ["the same section", { kind: "change-section", id: first.id, set: { tempo: 61 } }, pitch(first.id)],
    ["a section that is gone", { kind: "remove-section", id: first.id }, pitch(first.id)],
    [
      "the order of sections",
      { kind: "move-section", id: first.id, before: null },
      { kind: "remove-section", id: second.id },
    ],
    [
      "a placement that is gone",
      { kind: "remove-placements", placements: [address] },
      { kind: "remove-placements", placements: [address] },
    ],
    ["everything", pitch(first.id), { kind: "replace-routine", routine: { ...DEMO, title: "Else" } }],
    ["undo, of whatever", title("First"), { undo: true }],
  ])("and is stale where it meets what was done since, with nothing applied: %s", async (_, theirs, own) => {
    const [one, two] = [await page(), await page()];
    one.say(edit("op-theirs-1", 0, theirs));
    const undo = { type: "undo", name: NAME, opId: "op-own-0001", base: 0 };
    two.say("undo" in own ? undo : edit("op-own-0001", 0, own));
    await settle();
    expect([two.count("ack"), two.count("refused"), two.last("stale").rev]).toEqual([0, 0, 1]);
    expect(two.replica).toMatchObject({ rev: 1, routine: one.replica!.routine });
    expect(folder.files.get(NAME)?.records).toHaveLength(1);
  });

  test("a base from before the server started is stale, since nothing is known of what came after it", async () => {
    const one = await page();
    one.say(edit("op-first-1", 0, title("First")));
    await settle();
    folder.restart(false);
    live = new Live(folder, clock, () => "");
    const two = await page();
    two.say(edit("op-late-01", 0, pitch(first.id)));
    await settle();
    expect(two.last("stale").rev).toBe(1);
  });

  test("what is so already is not acknowledged where that was lost on the way to the disk", async () => {
    const [one, two] = [await page(), await page()];
    let flush = (): void => {};
    folder.disk.delay = () => new Promise((resolve) => (flush = resolve));
    one.say(edit("op-lost-01", 0, title("Lost")));
    await settle();
    two.say(edit("op-same-01", 0, title("Lost")));
    folder.disk.fails = "The disk is full.";
    flush();
    await settle();
    expect([one.count("refused"), two.count("refused"), two.count("ack")]).toEqual([1, 1, 0]);
  });

  test("an edit that is made again is applied to whatever is newest, flushed or not; another on that base is stale", async () => {
    const [one, two, three] = [await page(), await page(), await page()];
    let flush = (): void => {};
    folder.disk.delay = () => new Promise((resolve) => (flush = resolve));
    one.say(edit("op-first-1", 0, title("First")));
    two.say({ ...edit("op-second-1", 0, title("Second")), replayed: true });
    three.say(edit("op-third-1", 0, title("Third")));
    for (let turn = 0; turn < 2; turn++) {
      await settle();
      flush();
    }
    await settle();
    expect(two.last("ack")).toMatchObject({ opId: "op-second-1", rev: 2 });
    expect(three.last("stale")).toMatchObject({ opId: "op-third-1", rev: 2 });
    expect(one.replica).toMatchObject({ rev: 2, routine: { title: "Second" } });
  });

  test("an edit that is made again where what it expects is not there any more is refused", async () => {
    const [one, two] = [await page(), await page()];
    const [section] = one.replica!.routine.sections;
    const gone = { section: section!.id, index: 0, expected: section!.placements[0] };
    one.say(edit("op-first-1", 0, { kind: "remove-placements", placements: [gone] }));
    await settle();
    const again = { kind: "change-placements", changes: [{ placement: gone, to: { words: "x", bar: 2 } }] };
    two.say({ ...edit("op-second-1", 0, again), replayed: true });
    await settle();
    expect(two.last("refused")).toMatchObject({ opId: "op-second-1", rev: 1 });
    expect(two.replica?.rev).toBe(1);
  });

  test("edits that follow each other without waiting are all applied, in order", async () => {
    const one = await page();
    for (let index = 0; index < 20; index++) one.say(edit(`op-row-${index}`, index, title(`Title ${index}`)));
    await settle();
    expect(one.replica).toMatchObject({ rev: 20, routine: { title: "Title 19" } });
    expect(one.count("ack")).toBe(20);
  });

  test("the same edit sent again gets the same answer and is applied once", async () => {
    const one = await page();
    const message = edit("op-twice-1", 0, title("Once"));
    one.say(message);
    one.say(message);
    await settle();
    one.say(message);
    await settle();
    const acks = one.got.filter(({ type }) => type === "ack");
    expect(acks).toHaveLength(3);
    expect(new Set(acks.map((ack) => JSON.stringify(ack))).size).toBe(1);
    expect(one.replica?.rev).toBe(1);
  });

  test("an edit whose placement is another meanwhile is refused with a sentence, and nothing happens", async () => {
    const one = await page();
    const section = DEMO.sections[1]!;
    const expected = { ...(section.placements[0] as Placement), bar: 7 };
    const placement = { section: section.id, index: 0, expected };
    one.say(edit("op-gone-1", 0, { kind: "remove-placements", placements: [placement] }));
    await settle();
    expect(one.last("refused").message).toMatch(
      /was changed or removed meanwhile\. Look at it and try again\.$/,
    );
    expect(one.replica?.routine).toEqual(DEMO);
  });

  test("a value that cannot be is refused in the words of the catalogue", async () => {
    const one = await page();
    one.say(
      edit("op-metre-1", 0, { kind: "change-section", id: DEMO.sections[0]!.id, set: { meter: "4/5" } }),
    );
    await settle();
    expect(one.last("refused").message).toContain(DEMO.sections[0]!.name as string);
    expect(one.replica?.rev).toBe(0);
  });

  test("two phrases at once are kept, shown as a problem, and the later one is left out of what is heard", async () => {
    const one = await page();
    const [section] = DEMO.sections;
    const twin = section!.placements[0] as Placement;
    one.say(edit("op-overlap-1", 0, { kind: "add-placements", section: section!.id, placements: [twin] }));
    await settle();
    expect(one.count("ack")).toBe(1);
    const index = section!.placements.length;
    const place = `/sections/0/placements/${index}`;
    expect(one.last("changed").leftOut).toContain(place);
    expect(one.replica?.problems.filter(({ code }) => code === "two-phrases").length).toBeGreaterThan(0);
    const heard = one.replica?.sections.get(section!.id);
    expect(heard?.placed.map(({ placement }) => placement)).not.toContain(index);
    one.say({ type: "undo", name: NAME, opId: "op-overlap-2", base: 1 });
    await settle();
    expectTrue(one, DEMO);
  });

  test("an edit that changes nothing is acknowledged and makes no revision", async () => {
    const one = await page();
    one.say(edit("op-same-1", 0, title(DEMO.title)));
    await settle();
    expect(one.last("ack")).toMatchObject({ opId: "op-same-1", rev: 0 });
    expect(one.count("changed")).toBe(0);
  });
});

describe("undo and redo", () => {
  test("are one line that all pages share", async () => {
    const [one, two] = [await page(), await page()];
    one.say(edit("op-a-000", 0, title("A")));
    await settle();
    two.say(edit("op-b-000", 1, { kind: "change-section", id: DEMO.sections[0]!.id, set: { tempo: 60 } }));
    await settle();
    one.say({ type: "undo", name: NAME, opId: "undo-0001", base: 2 });
    await settle();
    expect(two.replica?.routine).toEqual({ ...DEMO, title: "A" });
    expect(two.last("changed")).toMatchObject({ undo: "Called the routine A" });
    two.say({ type: "undo", name: NAME, opId: "undo-0002", base: 3 });
    await settle();
    expectTrue(one, DEMO);
    expect(one.last("changed").undo).toBeNull();
    one.say({ type: "redo", name: NAME, opId: "redo-0001", base: 4 });
    await settle();
    expect(one.replica?.routine).toEqual({ ...DEMO, title: "A" });
    one.say(edit("op-c-000", 5, title("C")));
    await settle();
    one.say({ type: "redo", name: NAME, opId: "redo-0002", base: 6 });
    await settle();
    expect(one.last("refused").message).toBe("There is nothing to do again.");
  });

  test("outlive the server, from the journal and from before the last snapshot alike", async () => {
    for (const snapshot of [false, true]) {
      folder = new MemoryFolder();
      live = new Live(folder, clock, () => "");
      await live.create(NAME, "demo");
      const one = await page();
      one.say(edit("op-a-000", 0, title("A")));
      one.say(edit("op-b-000", 1, title("B")));
      await settle();
      one.say({ type: "undo", name: NAME, opId: "undo-0001", base: 2 });
      await settle();
      if (snapshot) clock.pass(2_000);
      await settle();
      one.disconnect();
      folder.restart(snapshot);
      live = new Live(folder, clock, () => "");
      const two = await page();
      expect(two.last("routine")).toMatchObject({
        rev: 3,
        routine: { title: "A" },
        undo: "Called the routine A",
        redo: "Called the routine B",
      });
      two.say({ type: "redo", name: NAME, opId: "redo-0001", base: 3 });
      await settle();
      expect(two.replica?.routine.title).toBe("B");
      two.say({ type: "undo", name: NAME, opId: "undo-0002", base: 4 });
      two.say({ type: "undo", name: NAME, opId: "undo-0003", base: 5 });
      await settle();
      expectTrue(two, DEMO);
    }
  });
});

describe("coming back", () => {
  test("a page that was away gets what it lacks as one change", async () => {
    const [one, two] = [await page(), await page()];
    two.disconnect();
    for (let index = 0; index < 3; index++) one.say(edit(`op-away-${index}`, index, title(`T${index}`)));
    await settle();
    two.connect();
    two.say({ type: "open", ask: 2, name: NAME, have: { epoch: two.replica!.epoch, rev: 0 } });
    await settle();
    expect(two.count("routine")).toBe(1);
    expect(two.last("changed")).toMatchObject({
      from: 0,
      rev: 3,
      by: null,
      words: "Called the routine T2, and 2 more",
    });
    expect(two.last("done")).toMatchObject({ ask: 2 });
    expectTrue(two, { ...DEMO, title: "T2" });
  });

  test("an edit whose answer was lost gets it when it is sent again, also after a restart", async () => {
    const one = await page();
    const message = edit("op-lost-1", 0, title("Kept"));
    one.say(message);
    await settle();
    one.disconnect();
    folder.restart(false);
    live = new Live(folder, clock, () => "");
    const two = await page();
    two.say(message);
    await settle();
    expect(two.last("ack")).toMatchObject({ opId: "op-lost-1", rev: 1 });
    expect(two.replica).toMatchObject({ rev: 1, routine: { title: "Kept" } });
  });

  test("a slow page gets many edits as one change, and its own answer after it", async () => {
    const [one, two] = [await page(), await page()];
    two.waiting = 300_000;
    for (let index = 0; index < 5; index++) one.say(edit(`op-fast-${index}`, index, title(`F${index}`)));
    await settle();
    two.say(edit("op-late-1", 0, title("Late")));
    await settle();
    expect([two.count("changed"), two.count("stale")]).toEqual([0, 0]);
    two.waiting = 0;
    clock.pass(20);
    expect(two.got.slice(-2).map(({ type }) => type)).toEqual(["changed", "stale"]);
    expectTrue(two, { ...DEMO, title: "F4" });
  });
});

describe("drafts", () => {
  test("only the latest is answered, nothing is kept, and the answer fits the revision it names", async () => {
    const one = await page();
    const [section] = DEMO.sections;
    for (let tempo = 80; tempo < 90; tempo++) {
      const what = { kind: "change-section", id: section!.id, set: { tempo } };
      one.say({ type: "draft", name: NAME, draft: tempo, base: 0, edit: what });
    }
    await settle();
    expect(one.count("drafted")).toBe(1);
    expect(one.last("drafted")).toMatchObject({ draft: 89, base: 0 });
    expect(one.last("drafted").patch).toEqual({ sections: { values: [{ ...section, tempo: 89 }] } });
    expect((await live.open(NAME)).present.rev).toBe(0);
    expect(folder.files.get(NAME)?.records).toEqual([]);
  });

  test("one that cannot be is answered with the reason", async () => {
    const one = await page();
    const what = { kind: "remove-section", id: "no-such-section" };
    one.say({ type: "draft", name: NAME, draft: 3, base: 0, edit: what });
    await settle();
    expect(one.last("not-drafted")).toMatchObject({ draft: 3 });
  });
});

describe("saving", () => {
  test("pages are told when work is safe in the journal and when the readable file follows", async () => {
    const one = await page();
    one.say(edit("op-save-1", 0, title("Saved")));
    await settle();
    expect(one.last("saved").saved).toEqual({ state: "saving" });
    clock.pass(2_000);
    await settle();
    expect(one.last("saved").saved).toEqual({ state: "saved" });
    expect(JSON.parse(folder.files.get(NAME)!.file.text).title).toBe("Saved");
  });

  test("where the disk fails nothing is acknowledged, the replica stays, and the reason is told", async () => {
    const one = await page();
    folder.disk.fails = "The disk is full. Free some room, then start again.";
    for (let index = 0; index < 3; index++) one.say(edit(`op-full-${index}`, index, title(`N${index}`)));
    await settle();
    expect(one.count("ack")).toBe(0);
    expect(one.count("refused")).toBe(3);
    expect(one.last("saved").saved).toEqual({ state: "cannot", why: folder.disk.fails });
    expect(one.replica?.rev).toBe(0);
    one.say(edit("op-full-9", 0, title("N9")));
    await settle();
    expect(one.last("refused").message).toBe(folder.disk.fails);
  });

  test("a file that changed outside is shown; theirs begins a new line of revisions", async () => {
    const one = await page();
    folder.files.get(NAME)!.outside(JSON.stringify({ ...DEMO, title: "Theirs" }));
    expect(one.last("saved").saved.state).toBe("outside");
    one.say({ type: "choose", ask: 4, name: NAME, keep: "theirs" });
    await settle();
    expect(one.last("done").ask).toBe(4);
    expect(one.last("routine")).toMatchObject({ epoch: "e1'", routine: { title: "Theirs" } });
    one.say(edit("op-new-01", one.replica!.rev, title("On")));
    await settle();
    expect(one.replica?.routine.title).toBe("On");
  });
});

describe("the past", () => {
  test("is listed in words, looked at, and brought back as an edit that can be undone", async () => {
    const one = await page();
    one.say(edit("op-p-001", 0, title("One")));
    one.say(edit("op-p-002", 1, { kind: "remove-section", id: DEMO.sections[2]!.id }));
    await settle();
    one.say({ type: "history", ask: 5, name: NAME, limit: 1 });
    one.say({ type: "look", ask: 6, name: NAME, rev: 1 });
    await settle();
    expect(one.last("history")).toMatchObject({ ask: 5, more: true, edits: [{ rev: 2 }] });
    expect(one.last("past")).toMatchObject({ ask: 6, rev: 1, routine: { title: "One" } });
    one.say({ type: "restore", name: NAME, opId: "op-back-1", base: 2, to: 1 });
    await settle();
    expectTrue(one, { ...DEMO, title: "One" });
    one.say({ type: "undo", name: NAME, opId: "op-back-2", base: 3 });
    await settle();
    expect(one.replica?.routine.sections).toHaveLength(DEMO.sections.length - 1);
  });
});

describe("an edit that changes nothing", () => {
  const pasts = async (one: TestPage): Promise<string[]> => {
    one.say({ type: "history", ask: 8, name: NAME, limit: 9 });
    await settle();
    return one.last("history").edits.map(({ words }) => words);
  };

  test("is acknowledged and leaves nothing in the past: steps that cancel out, and a moment like the present", async () => {
    const one = await page();
    one.say(edit("op-n-001", 0, title("One")));
    one.say(edit("op-n-002", 1, title(DEMO.title)));
    await settle();
    const before = await pasts(one);
    expect(before).toHaveLength(2);
    const { id } = DEMO.sections[0]!;
    const forth = { kind: "change-section", id, set: { name: "Elsewhere" } };
    const back = { kind: "change-section", id, set: { name: DEMO.sections[0]!.name } };
    one.say(edit("op-n-003", 2, { kind: "batch", words: "There and back", edits: [forth, back] }));
    one.say({ type: "restore", name: NAME, opId: "op-n-004", base: 2, to: 0 });
    await settle();
    expect(one.last("ack")).toMatchObject({ opId: "op-n-004", rev: 2 });
    expect(await pasts(one)).toEqual(before);
    // What is undone is what was done last.
    one.say({ type: "undo", name: NAME, opId: "op-n-005", base: 2 });
    await settle();
    expectTrue(one, { ...DEMO, title: "One" });
  });

  test("of a phrase whose hands are both written, the one that is another is named", async () => {
    const one = await page();
    const { id, record, fader } = DEMO.patterns[0]!;
    const set = { record: { ...record, strokes: [...record.strokes, { move: "hold" }] }, fader };
    one.say(edit("op-n-006", 0, { kind: "change-pattern", id, set }));
    await settle();
    expect(await pasts(one)).toEqual([`Changed the record hand of ${DEMO.patterns[0]!.name ?? id}`]);
  });
});

describe("the folder", () => {
  test("routines are made, copied, renamed and put in the bin, and every page is told", async () => {
    const [one, two] = [await page(), await page()];
    one.say({ type: "create", ask: 10, name: "Ring Road", content: "empty" });
    await settle();
    expect(two.last("list").routines.map(({ name }) => name)).toEqual([NAME, "Ring Road"]);
    one.say({ type: "copy", ask: 11, name: NAME, to: "Second" });
    await settle();
    one.say({ type: "rename", ask: 12, name: NAME, to: "Ferry" });
    await settle();
    expect(two.last("renamed")).toEqual({ type: "renamed", name: NAME, to: "Ferry" });
    two.say({ type: "open", ask: 2, name: "Ferry" });
    await settle();
    expect(two.replica?.routine).toEqual(DEMO);
    one.say({ type: "bin", ask: 13, name: "Ferry" });
    await settle();
    expect(folder.inBin).toEqual(["Ferry"]);
    expect(two.last("list").routines.map(({ name }) => name)).toEqual(["Ring Road", "Second"]);
  });

  test("a text that is no routine is not made one, and its problems are told", async () => {
    const one = await page();
    one.say({ type: "create", ask: 14, name: "Broken", content: { text: "{}" } });
    await settle();
    expect(one.last("sorry")).toMatchObject({ ask: 14, problems: [{ code: "wrong-format" }] });
    expect(folder.files.has("Broken")).toBe(false);
  });
});
