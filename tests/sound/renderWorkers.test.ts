/** Threads are started from the built output, as they are when the program runs. */
import { describe, expect, it } from "vitest";
import { compile } from "../../server/routine/compile.ts";
import { exportWav } from "../../server/sound/export.ts";
import { renderWav } from "../../server/sound/renderWorkers.ts";
import { timelineOf } from "../../server/time/timeline.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { sounds, TONE } from "./playing.ts";

const script = new URL("../../dist/server/sound/render.worker.js", import.meta.url);
const performance = compile(DEMO);
const samples = new Map([["voice", TONE]]);
const job = (section: string) => ({
  routine: DEMO,
  performance,
  samples,
  beats: new Map(),
  wish: { part: "mix", section } as const,
});

describe("a WAV file from a thread", () => {
  it("is byte for byte the one that this thread would write, in pieces, and as long as said", async () => {
    const here = exportWav(
      DEMO,
      performance,
      timelineOf(DEMO.sections, performance.sections),
      sounds({ voice: TONE }),
      { part: "mix", section: "swell" },
    );
    const there = await renderWav(job("swell"), script);
    const pieces: Uint8Array[] = [];
    const known: boolean[] = [];
    for await (const piece of there.pieces()) {
      pieces.push(piece);
      known.push(there.measured() !== null);
    }
    const bytes = Buffer.concat(pieces);
    expect(there).toMatchObject({ size: here.size, frames: here.frames });
    expect(bytes.length).toBe(here.size);
    expect(Buffer.compare(bytes, Buffer.concat([...here.pieces()]))).toBe(0);
    expect(pieces.length).toBeGreaterThan(10);
    // Who has the last byte may ask at once: what was measured is known with it, and not before.
    expect(known.indexOf(true)).toBe(pieces.length - 1);
  });

  it("ends with a reader that breaks off, and renders no more than is read", async () => {
    const wav = await renderWav(job("channel"), script);
    let read = 0;
    for await (const piece of wav.pieces()) {
      read += piece.length;
      break;
    }
    expect(read).toBeLessThan(wav.size / 10);
    const again = wav.pieces();
    await expect(again.next()).rejects.toThrow("the thread that renders sound ended");
  });

  it("of a section that is not there fails with why", async () => {
    await expect(renderWav(job("pier"), script)).rejects.toThrow('There is no section "pier".');
  });
});
