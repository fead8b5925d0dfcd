/** Samples of the user's own, with real files and keys. */
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { wavBytes } from "../../schemas/wavBytes.ts";
import { openProgram } from "./opened.ts";

/** Half a second of 440 Hz that dies away. */
const horn = async () => {
  const sound = Float32Array.from(
    { length: 24_000 },
    (_, at) => 0.8 * Math.sin((2 * Math.PI * 440 * at) / 48_000) * Math.exp(-at / 6000),
  );
  return {
    name: "Fog horn.wav",
    mimeType: "audio/wav",
    buffer: Buffer.from(wavBytes([sound], 48_000, 24)),
  };
};

/** Four bars at 94: a thump on one and three, a clap on two and four, ticks between; a quarter of a second late. */
const drums = async () => {
  const quarter = (60 / 94) * 48_000;
  const sound = new Float32Array(Math.ceil(12_000 + 16 * quarter));
  let random = 1;
  const noise = (): number => {
    random = (random * 16_807) % 2_147_483_647;
    return random / 1_073_741_823.5 - 1;
  };
  for (let eighth = 0; eighth < 32; eighth++) {
    const start = Math.round(12_000 + (eighth * quarter) / 2);
    for (let at = 0; at < 6000 && start + at < sound.length; at++) {
      const thump = Math.sin((2 * Math.PI * 60 * at) / 48_000) * Math.exp(-at / 2500);
      const value =
        eighth % 4 === 0
          ? 0.8 * thump
          : eighth % 4 === 2
            ? 0.5 * noise() * Math.exp(-at / 1500)
            : 0.15 * noise() * Math.exp(-at / 300);
      sound[start + at] = (sound[start + at] as number) + value;
    }
  }
  return {
    name: "Old drums.wav",
    mimeType: "audio/wav",
    buffer: Buffer.from(wavBytes([sound], 48_000, 24)),
  };
};

const { page, served, faults, soon, go } = await openProgram({
  // The loudest value that leaves the audio thread.
  before: (page) =>
    page.addInitScript(() => {
      const Node = window.AudioWorkletNode;
      Object.assign(window, { loudest: () => 0 });
      window.AudioWorkletNode = class extends Node {
        constructor(owner: BaseAudioContext, name: string, options?: AudioWorkletNodeOptions) {
          super(owner, name, options);
          const meter = new AnalyserNode(owner);
          this.connect(meter);
          const values = new Float32Array(meter.fftSize);
          Object.assign(window, {
            loudest: () => {
              meter.getFloatTimeDomainData(values);
              return Math.max(...values.map(Math.abs));
            },
          });
        }
      };
    }),
});
beforeAll(async () => {
  await page.getByRole("link", { name: "Write", exact: true }).click();
  await page.getByRole("link", { name: "Samples", exact: true }).click();
});

const samples = async () => (await served.routine()).rig?.samples ?? [];

describe("a sample of one's own", () => {
  it("is brought from a file, kept beside the routine and stands on the record", async () => {
    await page
      .locator("input[type=file]")
      .last()
      .setInputFiles(await horn());
    await page.locator(".waveform").waitFor();
    await soon(samples).toContainEqual({ id: "fog-horn", name: "Fog horn", file: "Fog horn.wav" });
  });

  it("is heard", { timeout: 40_000 }, async () => {
    await page.locator("#content").focus();
    await page.keyboard.press("Space");
    await page.getByRole("button", { name: "Play, quietly" }).click();
    await page.waitForFunction(() => (window as unknown as { loudest(): number }).loudest() > 0.05, null, {
      timeout: 30_000,
    });
    await page.locator("#content").focus();
    await page.keyboard.press("Space");
  });

  it("is trimmed and cued on its waveform by keys, each a step of undo", async () => {
    await page.getByRole("slider", { name: "End" }).focus();
    await page.keyboard.press("Shift+ArrowLeft");
    await soon(async () => (await samples())[2]?.trim).toEqual({ from: 0, to: 0.495 });
    await page.getByRole("slider", { name: "Cue: 0 degrees" }).focus();
    await page.keyboard.press("Shift+ArrowRight");
    await soon(async () => (await samples())[2]?.cue).toBe(0.005);
    await page.getByRole("button", { name: "Undo" }).click();
    await soon(async () => (await samples())[2]).toEqual({
      id: "fog-horn",
      name: "Fog horn",
      file: "Fog horn.wav",
      trim: { from: 0, to: 0.495 },
    });
  });

  it("says in a sentence what cannot be read, and keeps nothing of it", async () => {
    const before = await samples();
    const file = { name: "letter.mp3", mimeType: "audio/mpeg", buffer: Buffer.from("Dear all") };
    await page.locator("input[type=file]").last().setInputFiles(file);
    await page.getByRole("alert").waitFor();
    expect(await page.getByRole("alert").innerText()).toContain(
      "letter.mp3 is no sound that this browser can read.",
    );
    expect(await samples()).toEqual(before);
  });

  it("is a recorded beat too: its tempo and first beat are found", { timeout: 40_000 }, async () => {
    await page.evaluate(() => {
      location.hash = "#/write/beat engine-room";
    });
    await page.locator(".beat-row").first().waitFor();
    await page.locator("input[type=file]").setInputFiles(await drums());
    await page.getByLabel("Its tempo").waitFor({ timeout: 30_000 });
    await soon(async () =>
      (await served.routine()).beats.find(({ id }) => id === "engine-room"),
    ).toMatchObject({ recorded: { file: "Old drums.wav" }, steps: 4 * 192 });
    const beat = (await served.routine()).beats.find(({ id }) => id === "engine-room");
    // Within the bounds that are asked of the finder: a thousandth of the tempo, ten milliseconds.
    expect(Math.abs((beat?.recorded?.tempo ?? 0) / 94 - 1)).toBeLessThan(0.001);
    expect(Math.abs((beat?.recorded?.firstBeat ?? 0) - 0.25)).toBeLessThan(0.01);
  });

  it("kept in my phrases, it comes into another routine with its sound", async () => {
    await go("#/routine/my%20phrases");
    const own = page.locator(".things li", { hasText: "Recorded beat, Old drums.wav" });
    await own.getByRole("button", { name: "Keep in my phrases" }).click();
    await own.getByText("kept", { exact: true }).waitFor();
    await page.getByRole("button", { name: "Routines", exact: true }).click();
    await page.getByLabel("A new one, called").fill("Other");
    await page.getByRole("button", { name: "Begin empty" }).click();
    await soon(() => page.getByRole("heading", { level: 1 }).innerText()).toBe("Other");
    await page.getByRole("button", { name: "Put into this routine" }).click();
    await soon(async () => (await served.routine("Other").catch(() => null))?.beats).toMatchObject([
      { recorded: { file: "Old drums.wav" } },
    ]);
    const [ours, theirs] = await Promise.all(
      ["Night Ferry", "Other"].map((name) =>
        readFile(join(served.folder, `${name}.sounds`, "Old drums.wav")),
      ),
    );
    expect(theirs!.equals(ours!)).toBe(true);
  });

  it("left no error in the browser", () => {
    expect(faults).toEqual([]);
  });
});
