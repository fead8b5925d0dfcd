/** The audio thread's program, run here block by block in place of the browser's. */
import { afterAll, beforeAll, describe, expect, it, vi } from "vitest";
import { BALANCE, CHANNELS } from "../../schemas/sound.ts";
import type { FromWorklet, ToWorklet } from "../../client/audio/workletMessages.ts";
import { createMeter } from "../../server/sound/loudness.ts";

interface Processor {
  readonly port: { onmessage: (event: { data: ToWorklet }) => void };
  process(inputs: unknown, outputs: Float32Array[][]): boolean;
}
let Player: new () => Processor;
let Capture: new () => Processor;
const said: FromWorklet[] = [];

beforeAll(async () => {
  vi.stubGlobal(
    "AudioWorkletProcessor",
    class {
      port = { onmessage: () => {}, postMessage: (message: FromWorklet) => void said.push(message) };
    },
  );
  vi.stubGlobal("registerProcessor", (name: string, processor: typeof Player) => {
    if (name === "countercut-player") Player = processor;
    else Capture = processor;
  });
  vi.stubGlobal("currentFrame", 0);
  await import("../../client/audio/play.worklet.ts");
  await import("../../client/audio/capture.worklet.ts");
});
afterAll(() => void vi.unstubAllGlobals());

type Values = Partial<Record<(typeof CHANNELS)[number], number | ((frame: number) => number)>>;

/** Plays one block of these channels to its end. */
function played(values: Values, frames: number, levels = { hands: 1, others: 1, beat: 1, clicks: 1 }) {
  const player = new Player();
  const tell = (data: ToWorklet): void => player.port.onmessage({ data });
  const channels = CHANNELS.map((name) => {
    const value = values[name] ?? 0;
    return Float32Array.from({ length: frames }, (_, i) => (typeof value === "number" ? value : value(i)));
  });
  tell({ type: "levels", levels });
  tell({ type: "play", play: 1 });
  tell({ type: "block", play: 1, block: { take: 1, first: 0, frames, last: true, channels } });
  const out = [new Float32Array(frames), new Float32Array(frames)] as const;
  for (let at = 0; at < frames; at += 128) {
    player.process([], [[out[0].subarray(at, at + 128), out[1].subarray(at, at + 128)]]);
  }
  return out;
}

describe("the audio thread", () => {
  it("sets record, beat and clicks against each other as in a file", () => {
    const levels = (values: Values): number => played(values, 12_800)[0][12_000]!;
    expect(levels({ "scratch-left": 0.5, fader: 1 })).toBeCloseTo(0.5 * BALANCE.scratch, 4);
    expect(levels({ "scratch-left": 0.5, fader: 0.5 })).toBeCloseTo(0.25 * BALANCE.scratch, 4);
    expect(levels({ "scratch-left": 0.5, fader: 0 })).toBe(0);
    expect(levels({ "others-left": 0.5 })).toBeCloseTo(0.5 * BALANCE.scratch, 4);
    expect(levels({ "beat-left": 0.5 })).toBeCloseTo(0.5 * BALANCE.beat, 4);
    expect(levels({ "clicks-left": 0.5 })).toBeCloseTo(0.5 * BALANCE.clicks, 4);
  });

  it("never lets more than −1 dBTP out, however much comes together", () => {
    const loud = (frame: number): number => 4 * Math.sin(frame / 7);
    const [left, right] = played(
      { "scratch-left": loud, "scratch-right": loud, fader: 1, "beat-left": loud, "beat-right": loud },
      12_800,
    );
    const meter = createMeter();
    meter.add(left, right, left.length);
    expect(meter.truePeak()).toBeLessThan(-1);
    expect(meter.truePeak()).toBeGreaterThan(-2);
  });

  for (const [what, frameOf] of [
    [
      "leaves frames out, as when it goes over to another device",
      (quantum: number) => quantum * 128 + (quantum < 20 ? 0 : 512),
    ],
    [
      "says late where it is, as on a busy machine",
      (quantum: number) => (quantum < 20 || quantum > 24 ? quantum : 20) * 128,
    ],
  ] as const)
    it(`stays with the output's clock where the output ${what}`, () => {
      said.length = 0;
      const player = new Player();
      const tell = (data: ToWorklet): void => player.port.onmessage({ data });
      const channels = CHANNELS.map(() => new Float32Array(9_600));
      tell({ type: "play", play: 1 });
      tell({ type: "block", play: 1, block: { take: 1, first: 0, frames: 9_600, last: false, channels } });
      for (let quantum = 0; quantum < 50; quantum++) {
        vi.stubGlobal("currentFrame", frameOf(quantum));
        player.process([], [[new Float32Array(128), new Float32Array(128)]]);
      }
      vi.stubGlobal("currentFrame", 0);
      const lags = said.map(({ frame, contextFrame }) => contextFrame - frame);
      expect(lags.length).toBeGreaterThan(5);
      expect(new Set(lags)).toEqual(new Set([112]));
      expect(said.at(-1)?.underruns).toBe(0);
    });

  it("comes up without a jump, and says at which frame of the context the next one leaves", () => {
    said.length = 0;
    const [left] = played({ "beat-left": 1 }, 2_560);
    let most = 0;
    for (let i = 1; i < left.length; i++) most = Math.max(most, Math.abs(left[i]! - left[i - 1]!));
    expect(most).toBeLessThan(0.01);
    // Told at once; what is late by the limiter’s look-ahead is said to be so.
    expect(said[0]).toMatchObject({ play: 1, frame: 128, contextFrame: 128 + 112, underruns: 0 });
  });
});

describe("the thread that records", () => {
  it("says of each piece the frame at which it begins, also where the browser says late where it is", () => {
    const capture = new Capture();
    const pieces: { frame: number; samples: Float32Array }[] = [];
    Object.assign(capture.port, { postMessage: (piece: (typeof pieces)[number]) => void pieces.push(piece) });
    for (let quantum = 0; quantum < 120; quantum++) {
      // It stands still over the end of the first piece.
      const late = quantum >= 35 && quantum < 39;
      vi.stubGlobal("currentFrame", (late ? 34 : quantum) * 128);
      capture.process([[new Float32Array(128).fill(quantum)]], []);
    }
    vi.stubGlobal("currentFrame", 0);
    expect(pieces.map(({ frame, samples }) => [frame, samples[0]])).toEqual([
      [0, 0],
      [37 * 128, 37],
      [74 * 128, 74],
    ]);
  });
});
