/** What was practised, between page and folder. */
import { mkdtemp, readFile, rm, writeFile, readdir } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import type { PracticeEntry } from "../../schemas/practice.ts";
import type { FromServer, ServerMessage } from "../../schemas/wire.ts";
import { Live } from "../../server/live/live.ts";
import { openFolder } from "../../server/store/folder.ts";
import type { Folder } from "../../server/store/interfaces.ts";
import { HandClock } from "./memoryFolder.ts";
import { Asks, ask } from "../../server/live/asks.ts";

const NAME = "Night Ferry";
let path: string;
let folder: Folder;
let live: Live;
beforeEach(async () => {
  path = await mkdtemp(join(tmpdir(), "practice-"));
  folder = await openFolder(path);
  live = new Live(folder, new HandClock(), () => "");
  await live.create(NAME, "demo");
});
afterEach(async () => {
  await live.close();
  await rm(path, { recursive: true, force: true });
});

const entry = (id: string): PracticeEntry => ({
  id,
  at: "2026-03-01T18:20:05.000Z",
  of: {
    kind: "join",
    from: { section: "cast-off", pattern: "wake" },
    to: { section: "cast-off", pattern: "home" },
  },
  seconds: 62.5,
  good: 6,
  bad: 2,
  reached: 78.2,
  failedAt: 82.8,
  written: 92,
  strokes: 160,
  clicks: 120,
});
const say = async (message: object): Promise<FromServer> => {
  const said: FromServer[] = [];
  await ask(live, new Asks(), message as Parameters<typeof ask>[2], (one) => said.push(one));
  return said[0] as FromServer;
};
const add = (one: PracticeEntry) => say({ type: "practised", ask: 1, name: NAME, entry: one });
const all = async () => (await say({ type: "practice", ask: 2, name: NAME })) as ServerMessage<"practice">;

test("entries are kept as readable lines beside the routine, one sent twice is kept once", async () => {
  expect((await all()).entries).toEqual([]);
  await add(entry("11111111"));
  await add(entry("22222222"));
  await add(entry("11111111"));
  const text = await readFile(join(path, `${NAME}.practice.jsonl`), "utf8");
  expect(text.split("\n").map((line) => line && JSON.parse(line).id)).toEqual(["11111111", "22222222", ""]);
  expect(await all()).toEqual({
    type: "practice",
    ask: 2,
    name: NAME,
    entries: [entry("11111111"), entry("22222222")],
    unread: 0,
  });
});

test("a torn line is passed over and stays, and the next entry stands on a line of its own", async () => {
  await writeFile(join(path, `${NAME}.practice.jsonl`), `${JSON.stringify(entry("11111111"))}\n{"id":"222`);
  await add(entry("33333333"));
  const { entries, unread } = await all();
  expect(entries.map(({ id }) => id)).toEqual(["11111111", "33333333"]);
  expect(unread).toBe(1);
});

test("practice goes with its routine when that is renamed, and stays behind when it is copied", async () => {
  await add(entry("11111111"));
  await live.copy(NAME, "Day Ferry");
  await live.rename(NAME, "Late Ferry");
  expect((await readdir(path)).filter((file) => file.endsWith(".practice.jsonl"))).toEqual([
    "Late Ferry.practice.jsonl",
  ]);
  await expect(add(entry("22222222"))).rejects.toMatchObject({ code: "not-found" });
});
