/** What comes too late, in a row, without a connection or with fingers alone, on the built program in one Chromium. */
import { readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { DRILL } from "../../schemas/drill.ts";
import { unitsOfText } from "../../client/parts/music.ts";
import type { Recording } from "../../schemas/recording.ts";
import type { PatternPlacement } from "../../schemas/routine.ts";
import { compile } from "../../server/routine/compile.ts";
import { openProgram } from "./opened.ts";

interface Hooks {
  /** Breaks every connection, and lets none be made until it is called again. */
  cut(off: boolean): void;
  /** Lets the microphone in that was asked for. */
  letIn(): void;
  readonly tracks: MediaStreamTrack[];
}
const drill = {
  ...DRILL,
  countIn: { count: 1, by: "beat" },
  rest: 1,
  climb: { ...DRILL.climb, start: 150, ceiling: 180 },
};
const { page, served, soon, saved, go, fits, finger } = await openProgram({
  touch: true,
  async before(page) {
    await page.addInitScript((text) => {
      localStorage.setItem("countercut.caution-seen", "true");
      localStorage.setItem("countercut.drill", text);
      const sockets: WebSocket[] = [];
      let off = false;
      const Real = WebSocket;
      window.WebSocket = class extends Real {
        constructor(url: string | URL, protocols?: string | string[]) {
          super(url, protocols);
          sockets.push(this);
          if (off) this.close();
        }
      };
      let letIn = (): void => {};
      const tracks: MediaStreamTrack[] = [];
      navigator.mediaDevices.getUserMedia = () =>
        new Promise((resolve) => {
          letIn = () => {
            const { stream } = new AudioContext().createMediaStreamDestination();
            tracks.push(...stream.getTracks());
            resolve(stream);
          };
        });
      const { prototype } = AudioWorklet;
      const { addModule } = prototype;
      prototype.addModule = () => {
        prototype.addModule = addModule;
        return Promise.reject(new DOMException("The server is not there.", "AbortError"));
      };
      const hooks: Hooks = {
        cut(wanted) {
          off = wanted;
          if (off) for (const socket of sockets) socket.close();
        },
        letIn: () => letIn(),
        tracks,
      };
      Object.assign(window, { hooks });
    }, JSON.stringify(drill));
  },
});
const cut = (off: boolean) =>
  page.evaluate((wanted) => (window as unknown as { hooks: Hooks }).hooks.cut(wanted), off);
const placement = async () =>
  (await served.routine()).sections.find(({ id }) => id === "cast-off")!.placements[2];

describe("what comes too late or in a row", () => {
  it("plays at the second try where the first could not be made ready", async () => {
    await page.locator(".play").click();
    await page.getByText("The sound could not be made ready.").waitFor();
    await page.locator(".play").click();
    await page.locator(".foot .place strong", { hasText: "Bar 1" }).waitFor();
    await page.locator(".play").click();
  });

  it("shuts a microphone that is let in after the screen was left", async () => {
    await go("#/recordings");
    await page.getByRole("button", { name: "Open the input" }).click();
    await go("#/routine");
    await page.locator("#section-quay").waitFor();
    const states = () =>
      page.evaluate(() => {
        const { hooks } = window as unknown as { hooks: Hooks };
        if (hooks.tracks.length === 0) hooks.letIn();
        return hooks.tracks.map(({ readyState }) => readyState);
      });
    await soon(states).toEqual(["ended"]);
  });

  it("keeps each of two velocities that were changed while the server was busy", async () => {
    await go("#/export");
    await page.getByText("Channels, keys and controllers").click();
    const busy = served.standStill(300);
    await page.getByLabel("velocity of a cut").fill("90");
    await page.getByLabel("of a turn").fill("91");
    await page.getByLabel("from rest").fill("92");
    await page.keyboard.press("Enter");
    await busy;
    await saved();
    expect((await served.routine()).mappings?.[0]?.sounds?.velocity).toMatchObject({
      cut: 90,
      turn: 91,
      "from-rest": 92,
    });
  });

  it("sends what was changed without a connection in its order, each resting on the one before", async () => {
    await go("#/routine");
    await page.evaluate(() => document.getElementById("section-cast-off")?.scrollIntoView());
    await page.locator("#section-cast-off button.placed", { hasText: "Wake" }).nth(1).click();
    await page.getByRole("button", { name: "All values" }).click();
    await cut(true);
    await page.getByText("No connection to the server.").waitFor();
    await page.getByLabel("Record starts at stroke").fill("2");
    await page.getByLabel("Fader starts at cell").fill("3");
    await page.keyboard.press("Enter");
    expect(await page.locator(".saved").innerText()).toBe("Offline: 2 not saved yet");
    await go("#/write/wake");
    await page.getByText("they come when it is back").waitFor();
    const known = (await served.routine()).patterns.map(({ id }) => id);
    for (let again = 0; again < 2; again++) await page.getByRole("button", { name: "New phrase" }).click();
    await page.getByRole("button", { name: "Find a phrase" }).click();
    await page.getByText("There is no connection to the server. Wait until it is back").waitFor();
    await cut(false);
    await page.locator(".find-columns").waitFor();
    await saved();
    const begun = [known.length + 1, known.length + 2].map((number) => `phrase-${number}`);
    expect((await served.routine()).patterns.map(({ id }) => id)).toEqual([...known, ...begun]);
    // What the screen says of Enter holds, although a button led there.
    await page.keyboard.press("Enter");
    await soon(async () => (await served.routine()).patterns.length).toBe(known.length + 3);
    expect(await page.locator(".offer").count()).toBe(0);
    expect(await placement()).toEqual({
      pattern: "wake",
      bar: 5,
      lasts: { cycles: 2 },
      recordFrom: 1,
      faderFrom: 2,
    });
  });

  it("counts a key as often as it was pressed without a connection, while another tab edits", async () => {
    const other = await page.context().newPage();
    await other.goto(page.url().replace(/#.*/, "#/routine"));
    await other.locator("#section-moorings").waitFor({ state: "attached" });
    await other.evaluate(() => document.getElementById("section-moorings")?.scrollIntoView());
    await other.locator("#section-moorings button.placed").first().click();
    await other.getByRole("button", { name: "All values" }).click();
    const otherSets = async (stroke: number) => {
      await other.bringToFront();
      await other.getByLabel("Record starts at stroke").fill(`${stroke}`);
      await other.keyboard.press("Enter");
      await soon(async () => {
        const { placements } = (await served.routine()).sections.find(({ id }) => id === "moorings")!;
        return placements.some((one) => (one as PatternPlacement).recordFrom === stroke - 1);
      }).toBe(true);
      await page.bringToFront();
    };
    const lasts = async () => {
      const routine = await served.routine();
      const { performance } = compile(routine).sections.find((one) => one.performance.id === "cast-off")!;
      const { start, end } = performance.placed.find((one) => one.placement === 2)!;
      return (end - start) / unitsOfText(routine.patterns.find(({ id }) => id === "wake")!.record.step);
    };
    const before = await lasts();
    await page.bringToFront();
    await go("#/routine");
    await page.evaluate(() => document.getElementById("section-cast-off")?.scrollIntoView());
    await page.locator("#section-cast-off button.placed", { hasText: "Wake" }).nth(1).click();
    await cut(true);
    await page.getByText("No connection to the server.").waitFor();
    for (const key of [
      "Shift+ArrowLeft",
      "Shift+ArrowLeft",
      "Control+z",
      "Shift+ArrowLeft",
      "Shift+ArrowLeft",
    ])
      await page.keyboard.press(key);
    expect(await page.locator(".saved").innerText()).toBe("Offline: 5 not saved yet");
    await otherSets(2);
    await cut(false);
    await saved();
    await soon(lasts).toBe(before - 3);
    expect(await page.locator(".offer").count()).toBe(0);

    // What it would take back is no longer what was done last.
    await cut(true);
    await page.getByText("No connection to the server.").waitFor();
    await page.keyboard.press("Control+z");
    await soon(() => page.locator(".saved").innerText()).toBe("Offline: 1 not saved yet");
    await otherSets(3);
    await cut(false);
    const offer = page.locator(".offer", { hasText: "Not done: Undo: " });
    await offer.getByText("The routine was changed elsewhere at the same time.").waitFor();
    await otherSets(4);
    expect(await lasts()).toBe(before - 3);
    await offer.getByRole("button", { name: "Let it go" }).click();
    await other.close();
  });
});

it("judges rounds and stops by fingers, where there are no keys", async () => {
  await go("#/rehearse");
  await page.getByRole("button", { name: /^Start/ }).tap();
  const good = page.getByRole("button", { name: "It was good" });
  await soon(() => good.isEnabled()).toBe(true);
  await good.tap();
  await soon(() => good.getAttribute("aria-pressed")).toBe("true");
  await fits();
  await page.locator(".far").getByRole("button", { name: "Stop" }).tap();
  await page.getByText("Held at 150 %").waitFor();
  await page.getByRole("button", { name: "Leave this view" }).tap();
});

it("opens and shuts one’s own fader by a finger that is held", async () => {
  await page.getByLabel("Heard", { exact: true }).selectOption("my-fader");
  await page.getByRole("button", { name: /^Start/ }).tap();
  const pad = page.getByRole("button", { name: "Your fader" });
  const isOpen = () => pad.getAttribute("aria-pressed");
  await pad.waitFor();
  await fits();
  expect(await isOpen()).toBe("false");
  await page.setViewportSize({ width: 390, height: 844 });
  const { x, y, width, height } = (await pad.boundingBox())!;
  await finger.down({ x: x + width / 2, y: y + height / 2 });
  await soon(isOpen).toBe("true");
  await page.getByRole("img", { name: "Your fader is open" }).waitFor();
  // A finger is never quite still: on the pad it scrolls nothing, and holds on.
  for (let down = 0; down <= 60; down += 10) await finger.to({ x: x + width / 2, y: y + height / 2 - down });
  expect(await isOpen()).toBe("true");
  await finger.up();
  await soon(isOpen).toBe("false");
  await page.setViewportSize({ width: 1280, height: 800 });
  await page.locator(".far").getByRole("button", { name: "Stop" }).tap();
  await page.getByRole("button", { name: "Leave this view" }).tap();
});

it("records what fingers tap where there are no keys", async () => {
  await go("#/recordings");
  await page.locator("select:has(option[value=keys])").selectOption("keys");
  await page.locator("select:has(optgroup)").first().selectOption("section moorings");
  await page.getByRole("button", { name: "Record", exact: true }).tap();
  await page.locator(".far [role=status]", { hasText: /^Recording$/ }).waitFor();
  for (const pad of ["F", "J", "F"]) await page.getByRole("button", { name: pad, exact: true }).tap();
  await fits();
  await page.locator(".far .present .number", { hasText: /^2$/ }).waitFor();
  await page.locator(".far-buttons").getByRole("button", { name: "Stop" }).tap();
  await page.getByText("sounds in time").waitFor();
  await page.getByRole("button", { name: "Leave this view" }).tap();
  await page.locator(".result").waitFor();
  const folder = join(served.folder, "Night Ferry.recordings");
  const [file] = (await readdir(folder)).filter((name) => name.endsWith(".json"));
  const { by, result } = JSON.parse(await readFile(join(folder, file!), "utf8")) as Recording;
  expect(by).toBe("keys");
  expect(result!.matched + result!.extra.length).toBe(3);
});

it("opens an address that was written by hand and cannot be read", async () => {
  await go("#/write/100%");
  await page.getByLabel("Record hand").first().waitFor();
});
