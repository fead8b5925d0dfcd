import { describe, expect, test } from "vitest";
import { CUT, HandGate } from "../../client/audio/handGate.ts";

const run = (gate: HandGate, program: (frame: number) => number, frames: number): number[] =>
  Array.from({ length: frames }, (_, frame) => {
    const part = gate.gain(program(frame));
    return part + gate.leftToMe * gate.hand;
  });

describe("the user's fader", () => {
  test("is heard from the very next frame, fully after a millisecond and a half, whatever the program's does", () => {
    const gate = new HandGate();
    gate.by = "mine";
    expect(run(gate, () => 1, CUT + 1).at(-1)).toBe(0);
    gate.open = true;
    const opening = run(gate, (frame) => frame % 2, CUT + 10);
    expect(opening[0]).toBeCloseTo(1 / CUT, 12);
    expect(opening[CUT]).toBe(1);
    gate.open = false;
    expect(run(gate, () => 1, CUT + 1).at(-1)).toBe(0);
  });

  test("takes over and gives back without a jump", () => {
    const gate = new HandGate();
    const heard: number[] = run(gate, () => 1, 10);
    for (const by of ["mine", "open", "program"] as const) {
      gate.by = by;
      heard.push(...run(gate, () => 1, 100));
    }
    const steps = heard.slice(1).map((gain, index) => Math.abs(gain - heard[index]!));
    expect(Math.max(...steps)).toBeLessThan(2.001 / CUT);
    expect(heard[109]).toBe(0);
    expect(heard.at(-1)).toBe(1);
  });
});

test("every opening of the program's fader ticks once, from the frame in which it is half open", () => {
  const gate = new HandGate();
  gate.ticks = true;
  const openAt = [1_000, 5_000];
  const starts: number[] = [];
  let before = 0;
  for (let frame = 0; frame < 8_000; frame++) {
    gate.gain(openAt.some((at) => frame >= at && frame < at + 2_000) ? 1 : 0);
    const now = gate.ticking();
    if (now !== 0 && before === 0 && frame - (starts.at(-1) ?? -9_999) > 1_500) starts.push(frame);
    before = now;
  }
  // The tick is at zero in its first frame.
  expect(starts).toEqual([1_001, 5_001]);
  gate.ticks = false;
  gate.gain(0);
  gate.gain(1);
  gate.ticking();
  expect(gate.ticking()).toBe(0);
});
