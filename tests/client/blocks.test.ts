import { describe, expect, it } from "vitest";
import { type Block, Blocks, CROSSFADE, ENOUGH } from "../../client/audio/blocks.ts";

const block = (first: number, frames: number, value: number, take = 1, last = false): Block => ({
  take,
  first,
  frames,
  last,
  channels: [new Float32Array(frames).fill(value)],
});
const read = (blocks: Blocks, frames: number): number[] => {
  const out = new Float32Array(frames);
  blocks.read([out], frames);
  return [...out];
};

describe("blocks in the audio thread", () => {
  it("are heard one after the other, whatever the order of arrival", () => {
    const blocks = new Blocks();
    blocks.add(block(4, 4, 2));
    blocks.add(block(0, 4, 1));
    expect(read(blocks, 8)).toEqual([1, 1, 1, 1, 2, 2, 2, 2]);
    expect(blocks.position).toBe(8);
    expect(blocks.underruns).toBe(0);
  });

  it("that are late leave silence and no delay: the music goes on meanwhile, one underrun is counted", () => {
    const blocks = new Blocks();
    blocks.add(block(0, 2, 1));
    expect(read(blocks, 6)).toEqual([1, 1, 0, 0, 0, 0]);
    expect(blocks.position).toBe(6);
    expect(blocks.underruns).toBe(1);
    blocks.add(block(2, 2, 3));
    blocks.add(block(4, 4, 5));
    expect(read(blocks, 2)).toEqual([5, 5]);
    expect(blocks.position).toBe(8);
    expect(blocks.underruns).toBe(1);
  });

  it("are waited for at the start", () => {
    const blocks = new Blocks();
    expect(read(blocks, 4)).toEqual([0, 0, 0, 0]);
    blocks.add(block(0, 4, 1));
    expect(read(blocks, 4)).toEqual([1, 1, 1, 1]);
    expect(blocks.underruns).toBe(0);
  });

  it("of two takes in quick succession leave no hole before the later one begins", () => {
    const blocks = new Blocks();
    blocks.add(block(0, 1000, 1));
    blocks.add(block(1000, 1000, 1));
    blocks.add(block(1500, 1000, 2, 2));
    blocks.add(block(1800, 1000, 3, 3));
    expect(read(blocks, 2800).every((value) => value >= 1)).toBe(true);
    expect(blocks.position).toBe(2800);
    expect(blocks.underruns).toBe(0);
  });

  it("are not waited for where some were lost", () => {
    const blocks = new Blocks();
    blocks.add(block(0, 4, 1));
    blocks.add(block(8, 4, 2));
    expect(read(blocks, 12)).toEqual([1, 1, 1, 1, 0, 0, 0, 0, 2, 2, 2, 2]);
    expect(blocks.underruns).toBe(1);
  });

  it("of a higher take fade in over 5 ms, without a leap", () => {
    const blocks = new Blocks();
    blocks.add(block(0, 1000, 1));
    read(blocks, 10);
    blocks.add(block(100, ENOUGH + 100, 0, 2));
    const heard = read(blocks, 800);
    expect(heard.slice(0, 90)).toEqual(Array(90).fill(1));
    expect(heard[90 + CROSSFADE / 2]).toBeCloseTo(0.5, 6);
    expect(heard.slice(90 + CROSSFADE)).toEqual(Array(800 - 90 - CROSSFADE).fill(0));
    const leaps = heard.slice(1).map((value, index) => Math.abs(value - heard[index]!));
    expect(Math.max(...leaps)).toBeLessThan(0.005);
  });

  it("of a higher take are gone over to when enough are in hand, and leave no hole before", () => {
    const blocks = new Blocks();
    for (let first = 0; first < 12_000; first += 1000) blocks.add(block(first, 1000, 1));
    read(blocks, 500);
    // As on a busy machine: each arrives just before it would be due.
    const heard: number[] = [];
    for (let first = 0; first < 3_000; first += 1000) {
      blocks.add(block(first, 1000, 2, 2));
      heard.push(...read(blocks, 1000));
    }
    expect(heard).toEqual(Array(3_000).fill(1));
    for (let first = 3_000; first < 8_000; first += 1000) blocks.add(block(first, 1000, 2, 2));
    heard.splice(0, heard.length, ...read(blocks, 1000));
    expect(heard[0]).toBe(1);
    expect(heard.slice(CROSSFADE)).toEqual(Array(1000 - CROSSFADE).fill(2));
    expect(blocks.ahead).toBe(8_000 - 4_500);
    expect(blocks.underruns).toBe(0);
  });

  it("of a higher take are heard as they are where nothing else is left, and those before them never again", () => {
    const blocks = new Blocks();
    blocks.add(block(0, 1000, 1));
    blocks.add(block(500, 1000, 2, 2));
    expect(read(blocks, 1500)).toEqual([...Array(1000).fill(1), ...Array(500).fill(2)]);
    blocks.add(block(1500, 500, 9, 1));
    blocks.add(block(2000, 500, 3, 3));
    blocks.add(block(1500, 500, 8, 2));
    expect(read(blocks, 1000)).toEqual([...Array(500).fill(0), ...Array(500).fill(3)]);
    expect(blocks.underruns).toBe(1);
  });

  it("of a higher take that end soon are gone over to at once", () => {
    const blocks = new Blocks();
    for (let first = 0; first < 4_000; first += 1000) blocks.add(block(first, 1000, 1));
    read(blocks, 100);
    blocks.add(block(1000, 1000, 2, 2, true));
    expect(read(blocks, 1900).slice(900 + CROSSFADE)).toEqual(Array(1000 - CROSSFADE).fill(2));
    expect(blocks.over).toBe(true);
  });

  it("of a lower take than one that came are thrown away", () => {
    const blocks = new Blocks();
    blocks.add(block(0, 4, 1, 2));
    blocks.add(block(4, 4, 9, 1));
    expect(read(blocks, 8)).toEqual([1, 1, 1, 1, 0, 0, 0, 0]);
  });

  it("say how much is in hand without a gap", () => {
    const blocks = new Blocks();
    blocks.add(block(0, 4, 1));
    blocks.add(block(4, 4, 1));
    blocks.add(block(12, 4, 1));
    expect(blocks.ahead).toBe(8);
  });

  it("end with the last one, also where it comes too late", () => {
    const blocks = new Blocks();
    blocks.add(block(0, 4, 1));
    read(blocks, 16);
    blocks.add(block(4, 4, 1, 1, true));
    expect(blocks.over).toBe(true);
  });

  it("end with the last one, which is no underrun", () => {
    const blocks = new Blocks();
    blocks.add(block(0, 4, 1, 1, true));
    read(blocks, 8);
    expect(blocks.over).toBe(true);
    expect(blocks.underruns).toBe(0);
  });
});
