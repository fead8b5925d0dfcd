/** A pure function of the frame: whatever way a range is split, the same samples come out. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { compile } from "../../server/routine/compile.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { createLimiter } from "../../schemas/limiter.ts";
import { loopOf } from "../../server/sound/loop.ts";
import { createRenderer, newChannels } from "../../server/sound/render.ts";
import { timelineOf } from "../../server/time/timeline.ts";
import { allSounds, flat, rendered } from "./playing.ts";

const performance = compile(DEMO);
const timeline = timelineOf(DEMO.sections, performance.sections);
const SOUNDS = allSounds(DEMO, ["bar", "beat", "record", "fader"]);
const renderer = (speed = 1) => createRenderer(DEMO, performance, timeline, SOUNDS, { speed });
const seed = Number(process.env.COUNTERCUT_SEED ?? 20_261_125);

describe("a rendered range", () => {
  for (const speed of [1, 0.37]) {
    it(`is the same however it is split, at speed ${speed} (seed ${seed})`, () => {
      const whole = renderer(speed);
      const parts = renderer(speed);
      fc.assert(
        fc.property(
          fc.integer({ min: -100, max: whole.frames }),
          fc.array(fc.integer({ min: 1, max: 3000 }), { minLength: 1, maxLength: 8 }),
          (start, lengths) => {
            const frames = lengths.reduce((sum, length) => sum + length, 0);
            const expected = flat(rendered(whole, start, frames));
            const out = newChannels(frames);
            let done = 0;
            for (const length of lengths) {
              parts.block(start + done, length, out, done);
              done += length;
            }
            for (const [i, channel] of flat(out).entries())
              expect(Buffer.compare(bytes(channel), bytes(expected[i]!))).toBe(0);
          },
        ),
        { seed, numRuns: 60 },
      );
    });
  }

  it("is the same across the edge of a stretch as within one", () => {
    const at = 3 * 65_536;
    const [a, b] = [rendered(renderer(), at - 512, 1024), rendered(renderer(), at, 512)];
    expect(flat(a).map((channel) => channel.slice(512))).toEqual(flat(b).map((channel) => channel.slice(0)));
  });

  it("takes what other renderers left in the channels for nothing", () => {
    const out = newChannels(480);
    for (const channel of flat(out)) channel.fill(9);
    renderer().block(480_000, 480, out);
    expect(flat(out)).toEqual(flat(rendered(renderer(), 480_000, 480)));
  });
});

const bytes = (channel: Float32Array): Uint8Array =>
  new Uint8Array(channel.buffer, channel.byteOffset, channel.byteLength);

describe("a loop", () => {
  it("is where it should be to the sample after ten minutes, though a round is no whole number of frames", () => {
    // Two bars of 4/4 at 93: 247741.935… frames.
    const length = (8 * 60 * 48_000) / 93;
    const loop = loopOf(renderer(), 500_000, length);
    const tenMinutes = 600 * 48_000;
    const round = Math.floor(tenMinutes / length);
    expect(round).toBe(116);
    expect(loop.roundStart(116)).toBe(28_738_065);
    expect(loop.roundStart(116)).toBe(Math.round(116 * length));
    expect(loop.innerFrame(loop.roundStart(116))).toBe(500_000);
    expect(loop.innerFrame(loop.roundStart(117) - 1)).toBe(500_000 + 247_741 - 1);
    // After the seam of 2 ms it sounds as the first round did.
    const late = rendered(loop, loop.roundStart(116) + 96, 4096);
    expect(flat(late)).toEqual(flat(rendered(renderer(), 500_096, 4096)));
  });

  it("is the same however it is split, across its seam too", () => {
    const loop = loopOf(renderer(), 501_234.5, 9_876.3);
    const whole = flat(rendered(loop, 0, 60_000));
    const out = newChannels(60_000);
    const again = loopOf(renderer(), 501_234.5, 9_876.3);
    for (let at = 0; at < 60_000; at += 331) again.block(at, Math.min(331, 60_000 - at), out, at);
    expect(flat(out)).toEqual(whole);
  });
});

describe("the limiter", () => {
  it("gives the same however a sound is split", () => {
    const frames = 16 * 3000;
    const sound = Float32Array.from(
      { length: frames },
      (_, i) => 2 * Math.sin(i * i * 1e-6) * Math.sin(i / 3000),
    );
    const run = (size: number): Float32Array => {
      const [left, right] = [sound.slice(), sound.slice()];
      const limiter = createLimiter();
      for (let at = 0; at < frames; at += size) {
        limiter.process(
          left.subarray(at, at + size),
          right.subarray(at, at + size),
          Math.min(size, frames - at),
        );
      }
      return left;
    };
    expect(run(16)).toEqual(run(frames));
    expect(run(4096)).toEqual(run(frames));
  });
});
