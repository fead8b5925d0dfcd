/** Takes that the folder did not take: held until they stand there, or are thrown away. */
import { beforeEach, expect, test, vi } from "vitest";

const kept = new Map<string, string>();
vi.stubGlobal("sessionStorage", {
  getItem: (key: string) => kept.get(key) ?? null,
  setItem: (key: string, value: string) => void kept.set(key, value),
});
const fresh = async () => {
  vi.resetModules();
  return import("../../client/recordings/unkept.ts");
};
const about = {
  title: "Cast off",
  range: { from: { section: "cast-off", at: 0 }, to: { section: "cast-off", at: 9 } },
  speed: 0.8,
  by: "keys",
  hands: "both",
  allowedMs: 0,
} as const;
const take = (key: string, played: Blob | readonly number[], name = "Night Ferry") => ({
  key,
  name,
  about,
  played,
});
const WHY = "Changes cannot be saved: the disk is full.";

beforeEach(() => kept.clear());

test("times outlast a reload with the reason, and a sound as long as the page does", async () => {
  const before = await fresh();
  before.hold(take("keys", [0.5, 1.25]), WHY);
  before.hold(take("sound", new Blob(["RIFF"])), WHY);
  before.hold(take("notes", [2]), WHY);
  expect(before.unkept.value.map(({ key }) => key)).toEqual(["keys", "sound", "notes"]);
  const after = await fresh();
  expect(after.unkept.value).toEqual([
    { ...take("keys", [0.5, 1.25]), why: WHY },
    { ...take("notes", [2]), why: WHY },
  ]);
  after.letGo({ key: "keys" });
  expect((await fresh()).unkept.value.map(({ key }) => key)).toEqual(["notes"]);
});

test("one that is tried again stays in its place with the newer reason, and follows its routine's name", async () => {
  const { followNames, hold, unkept } = await fresh();
  hold(take("first", [1]), WHY);
  hold(take("second", [2], "Old Quay"), WHY);
  hold(take("first", [1]), "The server does not answer.");
  followNames({ type: "renamed", name: "Night Ferry", to: "Day Ferry" });
  followNames({ type: "renamed", name: "Old Quay", to: null });
  expect(unkept.value.map(({ key, name, why }) => [key, name, why])).toEqual([
    ["first", "Day Ferry", "The server does not answer."],
    ["second", "Old Quay", WHY],
  ]);
});

test("what this browser kept and cannot be read is passed over", async () => {
  kept.set("countercut.takes", "[");
  expect((await fresh()).unkept.value).toEqual([]);
  const good = { ...take("good", [1]), why: WHY };
  kept.set("countercut.takes", JSON.stringify([null, { key: "bad" }, { ...good, about: {} }, good]));
  expect((await fresh()).unkept.value).toEqual([good]);
});

test("times are a file that can be read and compared: seconds, one a line", async () => {
  const { fileOf } = await fresh();
  const { content, name } = fileOf(take("keys", [0.5, 1.25]));
  expect(name).toBe("Cast off.txt");
  expect(await content.text()).toBe("# Night Ferry: Cast off, keys, 80 % speed\n0.500000\n1.250000\n");
  const sound = new Blob(["RIFF"]);
  expect(fileOf(take("sound", sound))).toEqual({ content: sound, name: "Cast off.wav" });
});
