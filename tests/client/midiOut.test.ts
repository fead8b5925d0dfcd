/** MIDI on its way out, without a port: when messages are handed over, what an edit replaces, what a stop ends. */
import { expect, test } from "vitest";
import { ClockReader } from "../../client/audio/clockReader.ts";
import { HORIZON, MidiLine, type MidiTold } from "../../client/audio/midiLine.ts";
import { OutputClock } from "../../client/audio/outputClock.ts";

const RATE = 48;
const on = (key: number): number => 0x99 | (key << 8) | (100 << 16);
const off = (key: number): number => 0x89 | (key << 8) | (64 << 16);
const told = (take: number, first: number, events: number[], state: MidiTold["state"] = null): MidiTold => ({
  type: "midi",
  play: 1,
  take,
  first,
  frames: 960,
  events,
  state,
});
function line() {
  const sent: [time: number, ...bytes: number[]][] = [];
  const midi = new MidiLine((bytes, time) => sent.push([time, ...bytes]));
  // A play whose first frame is heard at 1,000 ms.
  const pump = (now: number): void => midi.pump(now, (frame) => 1000 + frame / RATE);
  return { midi, sent, pump, notes: () => sent.filter(([, status = 0]) => status < 0xf0) };
}

test("a message is handed over shortly before it is heard, with its exact time", () => {
  const { midi, pump, notes } = line();
  midi.told(told(1, 0, [4800, on(36), 9600, off(36)]));
  pump(1100 - HORIZON - 1);
  expect(notes()).toEqual([]);
  pump(1100 - HORIZON);
  expect(notes()).toEqual([[1100, 0x99, 36, 100]]);
  pump(1300);
  // Its time was over already: at once.
  expect(notes()[1]).toEqual([1300, 0x89, 36, 64]);
});

test("an edit takes the place of what was not handed over, and ends what does not sound any more", () => {
  const { midi, pump, notes } = line();
  midi.told(told(1, 0, [0, on(36), 0, on(38), 4800, off(36), 4800, off(38), 4800, on(42)]));
  pump(1000);
  midi.told(told(2, 2400, [4800, off(36)], { on: [on(36)], set: [0xe0 | (64 << 16)], rest: [] }));
  pump(1200);
  expect(notes().map(([, status, key]) => [status, key])).toEqual([
    [0x99, 36],
    [0x99, 38],
    [0x89, 38],
    [0xe0, 0],
    [0x89, 36],
  ]);
});

test("a stop ends every note after all that was handed over, puts fader and bend back, and stops the clock", () => {
  const { midi, sent, pump } = line();
  midi.told(
    told(1, 0, [0, 0xfa, 0, on(36)], {
      on: [],
      set: [],
      rest: [0xe0 | (64 << 16), 0xb1 | (11 << 8) | (127 << 16)],
    }),
  );
  pump(1000 - HORIZON);
  midi.stop(1000 - HORIZON + 1);
  expect(sent.slice(-4)).toEqual([
    [1000, 0x89, 36, 64],
    [1000, 0xe0, 0, 64],
    [1000, 0xb1, 11, 127],
    [1000, 0xfc],
  ]);
});

test("two players on one key of one channel end it once, at the later end", () => {
  const { midi, pump, notes } = line();
  midi.told(told(1, 0, [0, on(36), 480, on(36), 960, off(36), 1440, off(36)]));
  for (let now = 900; now < 1200; now += 5) pump(now);
  expect(notes().map(([, status]) => status)).toEqual([0x99, 0x89, 0x99, 0x89]);
  expect(notes().at(-1)?.[0]).toBe(1030);
});

test("without clock nothing of the clock goes out; with nothing to send a sign of life does", () => {
  const { midi, sent, pump } = line();
  midi.clock = false;
  midi.told(told(1, 0, [0, 0xfa, 0, 0xf8]));
  for (let now = 1000; now < 2000; now += 10) pump(now);
  expect(new Set(sent.map(([, status]) => status))).toEqual(new Set([0xfe]));
  const times = sent.map(([time]) => time);
  for (const [index, time] of times.slice(1).entries()) expect(time - (times[index] ?? 0)).toBeLessThan(300);
});

test("stamps that jitter by ten milliseconds move the clock by less than one", () => {
  const clock = new OutputClock();
  let state = 12_345;
  const chance = (): number => {
    state = (state * 1_103_515_245 + 12_345) % 2 ** 31;
    return state / 2 ** 31 - 0.5;
  };
  const errors: number[] = [];
  for (let turn = 0; turn < 30_000; turn++) {
    const seconds = turn * 0.02;
    // Ten minutes; the audio clock is slow by 30 parts in a million.
    const real = 5_000 + seconds * 1000 * 1.00003;
    clock.see(seconds, real + 10 * chance());
    if (turn > 250) errors.push(Math.abs((clock.at(seconds) ?? 0) - real));
  }
  errors.sort((a, b) => a - b);
  expect(errors[Math.floor(errors.length * 0.99)]).toBeLessThan(1);
});

test("a clock's tempo is found through jitter, its place kept through a drop-out, and its loss told", () => {
  const reader = new ClockReader();
  const period = 60_000 / (24 * 93.4);
  let state = 99;
  const chance = (): number => {
    state = (state * 1_103_515_245 + 12_345) % 2 ** 31;
    return state / 2 ** 31 - 0.5;
  };
  reader.start();
  for (let number = 0; number < 480; number++) {
    // Two quarters stay out.
    if (number >= 240 && number < 288) continue;
    reader.clock(number * period + 2 * chance());
  }
  expect(reader.tempo).toBeCloseTo(93.4, 0);
  expect(Math.abs((reader.quartersAt(479 * period) ?? 0) - 479 / 24)).toBeLessThan(0.02);
  expect(reader.lost(479 * period + 100)).toBe(false);
  expect(reader.lost(479 * period + 400)).toBe(true);
  reader.stop();
  reader.songPosition(32);
  reader.go();
  expect(reader.running).toBe(true);
  expect(Math.abs((reader.quartersAt(480 * period) ?? 0) - 8)).toBeLessThan(0.02);
});
