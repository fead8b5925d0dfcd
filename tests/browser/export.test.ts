/** The Export screen with real clicks, on the built program, with MIDI ports that the test holds. */
import { readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { beforeAll, expect, it } from "vitest";
import { openProgram } from "./opened.ts";

/** Ports in place of the browser's: what was sent stands in `midiSent`, `midiCome` lets a message in. */
const PORTS = `
  window.midiSent = [];
  const output = { name: "Deck lights", state: "connected", type: "output",
    send: (bytes, time) => window.midiSent.push([...bytes, time ?? performance.now()]) };
  const input = Object.assign(new EventTarget(), { name: "Harbour clock", state: "connected", type: "input", open: async () => {} });
  const access = Object.assign(new EventTarget(), { outputs: new Map([["o", output]]), inputs: new Map([["i", input]]) });
  window.midiCome = (bytes, time) => input.dispatchEvent(Object.assign(new Event("midimessage"),
    { data: Uint8Array.from(bytes) }, { timeStamp: time }));
  window.midiPlug = (on) => { access.outputs = new Map(on ? [["o", output]] : []); access.dispatchEvent(new Event("statechange")); };
  Object.defineProperty(navigator, "requestMIDIAccess", { value: async () => access });
`;

const { page, served, faults, soon, clean, fits, look } = await openProgram({
  before: (page) => page.addInitScript(PORTS),
});
beforeAll(async () => {
  await page.getByRole("link", { name: "Export", exact: true }).click();
  await page.locator("table.clips").waitFor();
});

const part = (name: string) => page.locator(".export nav a", { hasText: name }).click();

it("shows what stands in a clip, and another mapping changes it in the view and in the file", async () => {
  await look("clips");
  const events = page.getByRole("button", { name: /Events of 01_quay_sounds/ });
  await events.click();
  await page.locator(".events td", { hasText: "key 29 (F1, scratch push), velocity 112" }).first().waitFor();
  await page.getByLabel("Mapping", { exact: true }).selectOption({ label: "Plain notes on one channel" });
  await page.locator(".events td", { hasText: "key 96 (C7), velocity 112" }).first().waitFor();
  await page.locator("summary", { hasText: "Channels, keys and controllers" }).click();
  await page.getByLabel("forward", { exact: true }).fill("97");
  await page.getByLabel("forward", { exact: true }).press("Enter");
  await page.locator(".events td", { hasText: "key 97" }).first().waitFor();
  await look("mapping");
  await soon(async () => (await served.routine()).mappings).toEqual([
    {
      id: "plain-notes-on-one-channel-changed",
      name: "Plain notes on one channel, changed",
      sounds: { channel: 1, forward: 97, back: 98 },
      record: { written: false },
      fader: { channel: 1, controller: "none", key: 100 },
      groups: { channel: 1, record: 101, fader: 103, bar: 105, beat: 107 },
      beat: { channel: 1 },
    },
  ]);
});

it("keeps a mapping for all routines, and keeps a folder fresh", async () => {
  await page.getByRole("button", { name: "Keep it for all routines" }).click();
  await page.getByRole("button", { name: "No longer for all routines" }).waitFor();
  const shelf = JSON.parse(await readFile(join(served.folder, "clip-mappings.json"), "utf8"));
  expect(shelf.mappings.map(({ id }: { id: string }) => id)).toEqual(["plain-notes-on-one-channel-changed"]);

  const clips = join(served.folder, "..", "clips");
  await page.getByLabel("Folder", { exact: true }).fill(clips);
  await page.getByLabel("Folder", { exact: true }).press("Enter");
  await page.locator(".fresh .good").waitFor();
  const sounds = async () => (await readdir(clips)).filter((name) => name.includes("_sounds_")).length;
  expect(await sounds()).toBe(8);
  await page.getByLabel("Mapping", { exact: true }).selectOption({ label: "Controllers only" });
  await soon(sounds).toBe(0);
  await page.getByLabel("Mapping", { exact: true }).selectOption({ label: "Everything" });
  await soon(sounds).toBe(8);
});

it("brings a clip back: recognised, the same as the routine; another file becomes a phrase", async () => {
  const [whole, beat] = await Promise.all(
    ["whole_night-ferry.mid", "01_quay_sounds_04bars_092.0bpm_4-4.mid"].map((name) =>
      readFile(join(served.folder, "..", "clips", name)),
    ),
  );
  await part("Bring in MIDI");
  await page
    .getByLabel("MIDI file")
    .setInputFiles({ name: "whole_night-ferry.mid", mimeType: "audio/midi", buffer: whole! });
  await page.getByText("It says the same as the routine").waitFor();
  await look("bring");
  await page
    .getByLabel("MIDI file")
    .setInputFiles({ name: "quay.mid", mimeType: "audio/midi", buffer: beat! });
  await page.getByText("This is a clip of this routine: Quay, sounds.").waitFor();
  await page.getByRole("button", { name: "Add the phrase quay" }).click();
  await soon(async () => (await served.routine()).patterns.some(({ id }) => id === "quay")).toBe(true);
  await page
    .getByLabel("MIDI file")
    .setInputFiles({ name: "broken.mid", mimeType: "audio/midi", buffer: Buffer.from("MThd") });
  await page.locator(".bring .trouble").waitFor();
  expect(faults.splice(0).filter((fault) => !fault.includes("422"))).toEqual([]);
});

it("sends what is heard to the port with its clock, and ends every note when it stops", async () => {
  await part("Live MIDI");
  await page.getByRole("button", { name: "Look for MIDI ports" }).click();
  await page.getByLabel("Send to").selectOption("Deck lights");
  await look("live");
  await page.keyboard.press("Space");
  const caution = page.getByRole("dialog").getByRole("button").first();
  await caution.click();
  type Sent = number[][];
  const sent = () => page.evaluate(() => (window as unknown as { midiSent: Sent }).midiSent);
  const isNote = ([status = 0]: number[]): boolean => (status & 0xf0) === 0x90;
  await soon(async () => (await sent()).filter(isNote).length).toBeGreaterThan(6);
  await page.keyboard.press("Space");
  await soon(async () => (await sent()).at(-1)?.[0]).toBe(0xfc);
  const all = await sent();
  expect(all.some(([status]) => status === 0xfa)).toBe(true);
  expect(all.filter(([status]) => status === 0xf8).length).toBeGreaterThan(20);
  const sounding = new Set<string>();
  for (const [status = 0, key] of all) {
    if ((status & 0xf0) === 0x90) sounding.add(`${status & 15}/${key}`);
    if ((status & 0xf0) === 0x80) sounding.delete(`${status & 15}/${key}`);
  }
  expect([...sounding]).toEqual([]);
  // In order of time; what ends at the stop does so at once, before what was handed over for later.
  const clocks = all.filter(([status]) => status === 0xf8).map((one) => one.at(-1) as number);
  expect(clocks).toEqual([...clocks].sort((a, b) => a - b));
});

it("has no fault that axe finds in any of its parts, in both themes, and no sideways scroll on a phone", async () => {
  for (const name of ["MIDI clips", "Sound", "Live MIDI", "Bring in MIDI", "Set list"]) {
    await part(name);
    await page.getByRole("heading", { name, level: 2 }).waitFor();
    await clean();
    await fits();
    if (name === "Set list" || name === "Sound") await look(name.replaceAll(" ", "-"));
  }
});

it("made no fault in the console", () => {
  expect(faults).toEqual([]);
});
