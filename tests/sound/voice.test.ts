import { beforeAll, describe, expect, it } from "vitest";
import { buildTables, type Tables } from "../../server/sound/tables.ts";
import { CELL, newCell, readCell } from "../../server/sound/voice.ts";
import { restBelow } from "./spectrum.ts";

const RATE = 48_000;
const LENGTH = 2 ** 14;
const FRAMES = 2 ** 14;

/** Sines that fit the round exactly, in Hz, from 97 Hz to 20 kHz. */
const SINES = Array.from({ length: 25 }, (_, i) => {
  const wanted = 97 * (20_000 / 97) ** (i / 24);
  return (
    (Math.min(Math.floor((20_000 * LENGTH) / RATE), Math.round((wanted * LENGTH) / RATE)) * RATE) / LENGTH
  );
});

const sine = (hertz: number): Tables =>
  buildTables(
    {
      rate: RATE,
      channels: [Float32Array.from({ length: LENGTH }, (_, i) => Math.sin((2 * Math.PI * hertz * i) / RATE))],
    },
    { repeatSeconds: LENGTH / RATE, fastest: 8 },
  );

/** Reads `frames` where `position(frame)` says (samples), in cells. */
function read(
  tables: Tables,
  position: (frame: number) => number,
  speed: (frame: number) => number,
): Float32Array {
  const left = new Float32Array(FRAMES);
  const right = new Float32Array(FRAMES);
  const cell = newCell();
  cell.gain.fill(1);
  for (let start = 0; start < FRAMES; start += CELL) {
    for (let i = 0; i < CELL; i++) cell.at[i] = position(start + i);
    cell.speed[0] = speed(start);
    cell.speed[1] = speed(start + CELL);
    readCell(tables, cell, 0, CELL, left, right, start);
  }
  expect(right).toEqual(left);
  return left;
}

describe("the record's voice", () => {
  let tables: Map<number, Tables>;
  beforeAll(() => {
    tables = new Map(SINES.map((hertz) => [hertz, sine(hertz)]));
  });

  for (const speed of [0.3, 0.997, 1.7, 3.97, -2.03]) {
    it(`keeps noise and aliases under 16 kHz at least 120 dB down at speed ${speed}`, () => {
      const worst = Math.min(
        ...SINES.map((hertz) => {
          const out = read(
            tables.get(hertz)!,
            (frame) => 0.377 + speed * frame,
            () => speed,
          );
          return restBelow(out, (hertz * Math.abs(speed)) / RATE, 16_000 / RATE);
        }),
      );
      if (process.env.SHOW) console.log(speed, worst.toFixed(1));
      expect(worst).toBeGreaterThan(120);
    });
  }

  it("keeps to the sine that it should be at a speed that swings between 3 and −3, 120 dB down", () => {
    const omega = (2 * Math.PI * 7.3) / RATE;
    const speed = (frame: number) => 3 * Math.sin(omega * frame);
    const position = (frame: number) => 0.377 - (3 / omega) * Math.cos(omega * frame);
    const worst = Math.min(
      ...SINES.filter((hertz) => hertz * 3 < 16_000).map((hertz) => {
        const out = read(tables.get(hertz)!, position, speed);
        let rest = 0;
        for (let i = 0; i < FRAMES; i++) {
          rest += (out[i]! - Math.sin((2 * Math.PI * hertz * position(i)) / RATE)) ** 2;
        }
        return 10 * Math.log10(FRAMES / 2 / rest);
      }),
    );
    if (process.env.SHOW) console.log("varying", worst.toFixed(1));
    expect(worst).toBeGreaterThan(120);
  });
});
