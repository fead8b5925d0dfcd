/** MIDI on its way out, without a port: when messages are handed over, what an edit replaces, what a stop ends. */
import { expect, test } from "vitest";
import { ClockReader } from "../../client/audio/clockReader.ts";
import { FURTHEST, HORIZON, MidiLine, type MidiTold } from "../../client/audio/midiLine.ts";
import { OutputClock } from "../../client/audio/outputClock.ts";
import { seeded } from "../../server/sound/random.ts";

const RATE = 48;
const on = (key: number): number => 0x99 | (key << 8) | (100 << 16);
const CLOCK = 0xf8;
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

test("a page that stood still hands over as much earlier, to a limit, and less as time goes by", () => {
  const { midi, pump, notes } = line();
  let take = 0;
  /** Milliseconds ahead of the last message of many, a millisecond apart, that is handed over. */
  const ahead = (now: number): number => {
    take += 1;
    const from = (now - 1000) * RATE;
    const knob = (ms: number): number => 0xb0 | (1 << 8) | (((ms + take) % 128) << 16);
    midi.told(told(take, from, Array.from({ length: 450 }, (_, ms) => [from + ms * RATE, knob(ms)]).flat()));
    pump(now);
    return notes().at(-1)![0] - now;
  };
  expect(ahead(1000)).toBe(HORIZON);
  expect(ahead(1020)).toBe(HORIZON + 20);
  expect(ahead(1120)).toBe(HORIZON + 100);
  for (let now = 1140; now <= 51_120; now += 20) pump(now);
  expect(ahead(51_140)).toBe(HORIZON + 49);
  expect(ahead(61_140)).toBe(FURTHEST);
  midi.stop(61_200, true);
  expect(ahead(71_140)).toBeGreaterThan(HORIZON);
});

const state = (on: number[], clock: number | null, set: number[] = []): MidiTold["state"] => ({
  on,
  set,
  rest: [0xe0 | (64 << 16), 0xb1 | (11 << 8) | (127 << 16)],
  clock,
});

test("an edit takes the place of what was not handed over, and ends what does not sound any more", () => {
  const { midi, pump, notes } = line();
  midi.told(told(1, 0, [0, on(36), 0, on(38), 4800, off(36), 4800, off(38), 4800, on(42)]));
  pump(1000);
  midi.told(told(2, 2400, [4800, off(36)], state([on(36)], null, [0xe0 | (64 << 16)])));
  pump(1200);
  expect(notes().map(([, status, key]) => [status, key])).toEqual([
    [0x99, 36],
    [0x99, 38],
    [0x89, 38],
    [0xe0, 0],
    [0x89, 36],
  ]);
});

test("an edit that comes too late for its first messages holds from where the others end: nothing twice", () => {
  const { midi, pump, notes } = line();
  midi.told(told(1, 0, [480, on(36), 960, on(38), 1440, off(36)], state([], null)));
  pump(1000 + 1440 / RATE - HORIZON);
  // The same again from 240 on, but the second note gave way to another that goes on.
  const again = told(2, 240, [480, on(36), 960, on(40), 1440, off(36), 1920, off(40)], state([], null));
  midi.told({ ...again, frames: 4800 });
  pump(1000 + 1920 / RATE - HORIZON);
  expect(notes().map(([time, status, key]) => [time, status, key])).toEqual([
    [1010, 0x99, 36],
    [1020, 0x99, 38],
    [1030, 0x89, 36],
    [1030, 0x89, 38],
    [1030, 0x99, 40],
    [1040, 0x89, 40],
  ]);
});

test("a stop ends every note at once and after all that was handed over, and puts fader, bend and clock back", () => {
  const { midi, sent, pump } = line();
  midi.told(told(1, 0, [0, on(36), 0, CLOCK], state([], 0)));
  pump(1000 - HORIZON);
  const now = 1000 - HORIZON + 1;
  midi.stop(now);
  const ends = (time: number) => [
    [time, 0x89, 36, 64],
    [time, 0xe0, 0, 64],
    [time, 0xb1, 11, 127],
    [time, 0xfc],
  ];
  expect(sent.slice(-8)).toEqual([...ends(now), ...ends(1000)]);
  midi.told(told(1, 0, [0, on(36)], state([], 0)));
  pump(1000);
  midi.stop(1001, true);
  expect(sent.slice(-3)).toEqual(ends(1001).slice(0, 3));
});

test("clocks are counted through edits: none too many, none too few, and the song goes on", () => {
  const { midi, sent, pump } = line();
  const clocks = (from: number, to: number, period: number) =>
    Array.from({ length: to - from }, (_, index) => [(from + index) * period, CLOCK]).flat();
  midi.told(told(1, 0, clocks(0, 12, 1000), state([], 0)));
  for (let now = 900; now <= 1100; now += 10) pump(now);
  // As it was, from before what was handed over (1,100 ms and the horizon: the eighth clock).
  midi.told({ ...told(2, 3500, clocks(4, 12, 1000), state([], 4)), frames: 7500 });
  for (let now = 1100; now <= 1300; now += 10) pump(now);
  expect(
    sent.filter(([, status = 0]) => status > 0xf0 && status < 0xfe).map(([time, status]) => [time, status]),
  ).toEqual([
    [1000, 0xfa],
    ...Array.from({ length: 12 }, (_, index) => [1000 + (index * 1000) / RATE, CLOCK]),
  ]);
  // Elsewhere: at the clock before the second sixteenth of the second bar.
  sent.length = 0;
  midi.told(told(2, 14_400, [14_400, CLOCK, 15_400, CLOCK], state([], 101)));
  pump(1300);
  pump(1400);
  expect(sent.filter(([, status]) => status !== 0xfe)).toEqual([
    [1300, 0xfc],
    [1300, 0xf2, 17, 0],
    [1300, CLOCK],
    [1000 + 15_400 / RATE, 0xfb],
    [1000 + 15_400 / RATE, CLOCK],
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
  midi.told(told(1, 0, [0, CLOCK], state([], 0)));
  for (let now = 1000; now < 2000; now += 10) pump(now);
  expect(new Set(sent.map(([, status]) => status))).toEqual(new Set([0xfe]));
  const times = sent.map(([time]) => time);
  for (const [index, time] of times.slice(1).entries()) expect(time - (times[index] ?? 0)).toBeLessThan(300);
});

test.each([
  {
    name: "that come late now and then",
    noise: (a: number, b: number) => 0.1 * a + (b > 0.48 ? 8 : 0),
    within: 0.1,
  },
  { name: "that jitter by ten milliseconds", noise: (a: number) => 10 * a, within: 1 },
])("stamps $name move the clock by less than $within ms", ({ noise, within }) => {
  const clock = new OutputClock();
  const random = seeded(5);
  const chance = (): number => random() - 0.5;
  const errors: number[] = [];
  for (let turn = 0; turn < 30_000; turn++) {
    // Ten minutes; the audio clock is slow by 30 parts in a million.
    const seconds = 0.05 + turn * 0.02;
    const real = 5_000 + seconds * 1000 * 1.00003;
    clock.see(seconds, real + noise(chance(), chance()));
    if (turn > 250) errors.push(Math.abs((clock.at(seconds + 0.1) ?? 0) - real - 100.003));
  }
  errors.sort((a, b) => a - b);
  expect(errors[Math.floor(errors.length * 0.99)]).toBeLessThan(within);
});

test("a clock that slips is followed within a quarter of a second", () => {
  const clock = new OutputClock();
  for (let turn = 0; turn < 1_000; turn++) clock.see(1 + turn * 0.02, 1_000 + turn * 20);
  for (let turn = 1_000; turn < 1_012; turn++) clock.see(1 + turn * 0.02, 1_020 + turn * 20);
  expect(clock.at(30)).toBeCloseTo(30_020, 6);
});

test("a clock's tempo is found through jitter, its place kept through a drop-out, and its loss told", () => {
  const reader = new ClockReader();
  const period = 60_000 / (24 * 93.4);
  const random = seeded(5);
  const chance = (): number => random() - 0.5;
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
