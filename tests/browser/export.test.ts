/** The Export screen with real clicks, on the built program, with MIDI ports that the test holds. */
import { readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { beforeAll, expect, it } from "vitest";
import { openProgram } from "./opened.ts";

/**
 * Ports in place of the browser's: what was sent stands in `midiSent`, `midiCome` lets a message in. A page may not
 * fetch the addresses of its blobs; the blobs themselves stand in `blobs`.
 */
const PORTS = `
  window.midiSent = [];
  const output = { name: "Deck lights", state: "connected", type: "output",
    send: (bytes, time) => {
      window.midiSent.push([...bytes, time ?? performance.now()]);
      if (window.midiKept) sessionStorage.setItem("sent", JSON.stringify(window.midiSent));
    } };
  const input = Object.assign(new EventTarget(), { name: "Harbour clock", state: "connected", type: "input", open: async () => {} });
  const access = Object.assign(new EventTarget(), { outputs: new Map([["o", output]]), inputs: new Map([["i", input]]) });
  window.midiCome = (bytes, time) => input.dispatchEvent(Object.defineProperties(new Event("midimessage"),
    { data: { value: Uint8Array.from(bytes) }, timeStamp: { value: time } }));
  let clock = 0;
  window.clockRuns = (on) => {
    clearInterval(clock);
    // In the clock's own time, however late the timer is: 24 a quarter, 90 quarters a minute.
    let due = performance.now();
    if (on) clock = setInterval(() => { for (; due <= performance.now(); due += 60_000 / 24 / 90) midiCome([0xf8], due); }, 10);
  };
  window.midiPlug = (on) => { access.outputs = new Map(on ? [["o", output]] : []); access.dispatchEvent(new Event("statechange")); };
  window.blobs = new Map();
  const addressOf = URL.createObjectURL.bind(URL);
  URL.createObjectURL = (blob) => { const address = addressOf(blob); window.blobs.set(address, blob); return address; };
  Object.defineProperty(navigator, "requestMIDIAccess", { value: async () => access });
`;

const { page, served, faults, soon, clean, fits, look } = await openProgram({
  before: (page) => page.addInitScript(PORTS),
});
beforeAll(async () => {
  await page.getByRole("link", { name: "Export", exact: true }).click();
  await page.locator("table.clips").waitFor();
});

const press = (name: string) => page.getByRole("button", { name, exact: true }).click();
const part = (name: string) => page.locator(".export nav a", { hasText: name }).click();

it("gives a clip of the demo at a first start: two presses, of words that are in sight", async () => {
  const [file] = await Promise.all([
    page.waitForEvent("download"),
    press("01_quay_sounds_04bars_092.0bpm_4-4.mid"),
  ]);
  expect(file.suggestedFilename()).toBe("01_quay_sounds_04bars_092.0bpm_4-4.mid");
  expect((await readFile(await file.path())).toString("latin1", 0, 4)).toBe("MThd");
});

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
  const [whole, quay] = await Promise.all(
    ["whole_night-ferry.mid", "01_quay_sounds_04bars_092.0bpm_4-4.mid"].map((name) =>
      readFile(join(served.folder, "..", "clips", name)),
    ),
  );
  await part("Bring in MIDI");
  // What takes long is told, and can be stopped.
  await page.route("**/midi?*", () => {});
  const file = { name: "whole.mid", mimeType: "audio/midi", buffer: whole! };
  await page.getByLabel("MIDI file").setInputFiles(file);
  await page.getByText("Reading whole.mid…").waitFor();
  await press("Stop");
  await soon(() => page.getByText("Reading whole.mid").count()).toBe(0);
  await page.unroute("**/midi?*");
  await page
    .getByLabel("MIDI file")
    .setInputFiles({ name: "whole_night-ferry.mid", mimeType: "audio/midi", buffer: whole! });
  await page.getByText("It says the same as the routine").waitFor();
  await look("bring");
  await page
    .getByLabel("MIDI file")
    .setInputFiles({ name: "quay.mid", mimeType: "audio/midi", buffer: quay! });
  await page.getByText("This is a clip of this routine: Quay, sounds.").waitFor();
  await page.getByRole("button", { name: "Add the phrase quay" }).click();
  await soon(async () => (await served.routine()).patterns.some(({ id }) => id === "quay")).toBe(true);
  await page
    .getByLabel("MIDI file")
    .setInputFiles({ name: "broken.mid", mimeType: "audio/midi", buffer: Buffer.from("MThd") });
  await page.locator(".bring .trouble").waitFor();
  expect(faults.splice(0).filter((fault) => !fault.includes("422"))).toEqual([]);
});

it("tries each event of the mapping at the port", async () => {
  await part("Live MIDI");
  await page.getByRole("button", { name: "Look for MIDI ports" }).click();
  await page.getByLabel("Send to").selectOption("Deck lights");
  await page.getByText("Ready: play, and it is sent.").waitFor();
  await look("live");
  await part("MIDI clips");
  await page.locator("summary", { hasText: "Channels, keys and controllers" }).click();
  const tried: Record<string, number[]> = {};
  for (const button of await page.getByRole("button", { name: /^Test / }).all()) {
    const before = (await sent()).length;
    await button.click();
    const [first = []] = (await sent()).slice(before);
    tried[(await button.getAttribute("aria-label")) ?? ""] = first.slice(0, -1);
  }
  // The defaults of the strands: channel, then key or controller, then velocity or value.
  expect(tried).toEqual({
    "Test Sounds: forward": [0x99, 29, 112],
    "Test Sounds: back": [0x99, 30, 112],
    "Test Record hand: bend": [0xe0, 0, 64],
    "Test Record hand: position": [0xb0, 16, 64],
    "Test Fader hand: controller": [0xb1, 11, 0],
    "Test Fader hand: note": [0x91, 60, 100],
    "Test Groups: record group": [0x99, 31, 100],
    "Test Groups: fader group": [0x99, 32, 100],
    "Test Groups: bar": [0x99, 34, 100],
    "Test Groups: beat": [0x99, 33, 100],
    "Test Beat: bass drum": [0x99, 36, 100],
    "Test Beat: snare": [0x99, 38, 100],
    "Test Beat: hi-hat": [0x99, 42, 100],
  });
  expect(sounding(await sent())).toEqual([]);
  await part("Live MIDI");
});

it("sends what is heard with its clock, to a port that goes and comes too, and ends every note", async () => {
  const kinds = async (from: number) => (await sent()).slice(from).map(([status = 0]) => status);
  const start = (await sent()).length;
  await press("Play");
  await page.getByRole("dialog").getByRole("button").first().click();
  await soon(async () => (await kinds(start)).filter((one) => one >> 4 === 9).length).toBeGreaterThan(4);
  // Unplugged and plugged in again while it plays: found by its name, and told what holds.
  await page.evaluate(() => (window as unknown as Ports).midiPlug(false));
  await page.getByText("It is not plugged in.").waitFor();
  const gone = (await sent()).length;
  await page.evaluate(() => (window as unknown as Ports).midiPlug(true));
  await page.getByText("Ready: play, and it is sent.").waitFor();
  await soon(async () => (await kinds(gone)).filter((one) => one === 0xf8).length).toBeGreaterThan(4);
  await press("Stop");
  await soon(async () => (await sent()).at(-1)?.[0]).toBe(0xfc);
  const all = await sent();
  for (const [piece, first] of [
    [all.slice(start, gone), 0xfa],
    [all.slice(gone), 0xfb],
  ] as const) {
    expect(piece.map(([status]) => status)).toContain(first);
    expect(sounding(piece)).toEqual([]);
    const clocks = piece.filter(([status]) => status === 0xf8).map((one) => one.at(-1) as number);
    expect(clocks).toEqual([...clocks].sort((a, b) => a - b));
  }
});

interface Ports {
  blobs: Map<string, Blob>;
  midiSent: number[][];
  midiKept: boolean;
  midiPlug(on: boolean): void;
  midiCome(bytes: number[], time: number): void;
  clockRuns(on: boolean): void;
}
/** What went to the port: bytes, and milliseconds. */
const sent = () => page.evaluate(() => (window as unknown as Ports).midiSent);
/** Notes that were begun and not ended, by channel and key. */
function sounding(all: readonly (readonly number[])[]): string[] {
  const notes = new Set<string>();
  for (const [status = 0, key] of all) {
    if (status >> 4 === 9) notes.add(`${status & 15}/${key}`);
    if (status >> 4 === 8) notes.delete(`${status & 15}/${key}`);
  }
  return [...notes];
}

it("ends every note when the page is left while it plays, and finds the port again", async () => {
  await page.evaluate(() => {
    (window as unknown as Ports).midiKept = true;
  });
  await press("Play");
  const kept = () => page.evaluate(() => JSON.parse(sessionStorage.getItem("sent") ?? "[]") as number[][]);
  await soon(async () => sounding(await kept()).length).toBeGreaterThan(0);
  await page.reload();
  await page.locator(".export").waitFor();
  const all = await kept();
  expect(all.length).toBeGreaterThan(0);
  expect(sounding(all)).toEqual([]);
  await part("Live MIDI");
  await page.getByText("Ready: play, and it is sent.").waitFor();
});

it("follows a clock: its tempo is shown, it plays and stops with it, and goes on when it stays out", async () => {
  await page.getByLabel("Follow the clock of").selectOption("Harbour clock");
  const clockRuns = (on: boolean) =>
    page.evaluate((runs) => (window as unknown as Ports).clockRuns(runs), on);
  const come = (status: number) =>
    page.evaluate((one) => (window as unknown as Ports).midiCome([one], performance.now()), status);
  const stop = page.getByRole("button", { name: "Stop", exact: true });
  const following = page.getByText(/Follows (89\.9|90|90\.1) quarters a minute/);
  await clockRuns(true);
  await following.waitFor();
  await come(0xfa);
  await stop.waitFor();
  await clockRuns(false);
  await page.getByText("The clock stays out.").waitFor();
  expect(await stop.isVisible()).toBe(true);
  await clockRuns(true);
  await following.waitFor();
  expect(await stop.isVisible()).toBe(true);
  await come(0xfc);
  await page.getByRole("button", { name: "Play", exact: true }).waitFor();
  await clockRuns(false);
  await page.getByLabel("Follow the clock of").selectOption("");
});

it("downloads stems of the same bars and shows their loudness, and a drag carries the file", async () => {
  await part("Sound");
  await page.getByLabel("Of", { exact: true }).selectOption({ label: "section Moorings" });
  await page.getByLabel("the beat alone").check();
  const files: Buffer[] = [];
  const taken: Promise<void>[] = [];
  page.on("download", (download) => {
    taken.push(download.path().then(async (path) => void files.push(await readFile(path))));
  });
  await press("Download");
  await soon(() => page.locator("td", { hasText: /^−[\d.]+ dBTP$/ }).count()).toBe(2);
  expect(await page.locator("td", { hasText: /^−[\d.]+ LUFS$/ }).count()).toBe(2);
  await soon(() => taken.length).toBe(2);
  await Promise.all(taken);
  expect(files.map((file) => file.toString("latin1", 0, 4))).toEqual(["RIFF", "RIFF"]);
  expect(files[0]?.length).toBe(files[1]?.length);

  await part("MIDI clips");
  const clip = page.getByRole("button", { name: "01_quay_beat_04bars_092.0bpm_4-4.mid", exact: true });
  await clip.hover();
  const carried = () =>
    clip.evaluate(async (button) => {
      const dataTransfer = new DataTransfer();
      button.dispatchEvent(new DragEvent("dragstart", { dataTransfer, bubbles: true, cancelable: true }));
      const [, , name, address] = /^([^:]*):([^:]*):(.*)$/.exec(dataTransfer.getData("DownloadURL")) ?? [];
      const blob = (window as unknown as Ports).blobs.get(address ?? "");
      return blob === undefined ? null : { name, bytes: [...new Uint8Array(await blob.arrayBuffer())] };
    });
  await soon(async () => (await carried())?.name).toBe("01_quay_beat_04bars_092.0bpm_4-4.mid");
  const onDisk = await readFile(join(served.folder, "..", "clips", "01_quay_beat_04bars_092.0bpm_4-4.mid"));
  expect((await carried())?.bytes).toEqual([...onDisk]);
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
