/** The MIDI that goes with a play: the clips' own events, at the frames where they are heard, and MIDI Clock. */
import { parseMidi } from "midi-file";
import { expect, test } from "vitest";
import type { Routine } from "../../schemas/routine.ts";
import type { SoundFromServer, SoundPageMessage } from "../../schemas/soundWire.ts";
import { UNITS_PER_QUARTER } from "../../schemas/units.ts";
import { clipFiles } from "../../server/clips/clipFiles.ts";
import { LIVE_PPQ } from "../../server/clips/liveWindow.ts";
import { makingOf } from "../../server/clips/making.ts";
import { Player } from "../../server/live/player.ts";
import { type Piece, pieceOf } from "../../server/live/program.ts";
import { clicksFor } from "../../server/sound/clicksFor.ts";
import { compile } from "../../server/routine/compile.ts";
import type { Sounds } from "../../server/sound/inFrames.ts";
import { createKit } from "../../server/sound/kit.ts";

const routineAt = (tempo: number | { from: number; to: number }): Routine => ({
  format: "countercut-routine",
  version: 1,
  title: "Slipway",
  patterns: [
    {
      id: "haul",
      record: { step: "1/16", strokes: [{ move: "forward" }, { move: "back" }] },
      fader: { step: "1/16", cells: [{ fader: "open" }, { fader: "click" }, { fader: "closed" }] },
    },
  ],
  beats: [{ id: "winch", step: "1/4", steps: 2, hits: [{ key: 36, at: [0, 1] }] }],
  sections: [
    { id: "one", bars: 2, meter: "4/4", tempo, beat: "winch", placements: [{ pattern: "haul", bar: 1 }] },
    { id: "two", bars: 1, meter: "3/4", tempo: 120, placements: [{ pattern: "haul", bar: 1, at: "1/8" }] },
  ],
});
const piece = (routine: Routine): Piece => pieceOf(routine, compile(routine), 0);
const sounds: Sounds = {
  samples: new Map(),
  beats: new Map(),
  kit: createKit(),
  clicks: clicksFor({ beat: false, record: false, fader: false }),
};
type Midi = Extract<SoundFromServer, { type: "midi" }>;

function listen(start: Piece, message: Partial<SoundPageMessage<"play">> = {}) {
  const told: Midi[] = [];
  let open = start;
  const player = new Player(
    {
      type: "play",
      play: 1,
      material: { kind: "open", name: "Slipway" },
      from: null,
      loop: null,
      speed: 1,
      countIn: 0,
      clicks: { beat: false, record: false, fader: false },
      ...message,
    },
    { send: (said) => said.type === "midi" && told.push(said), block: () => {} },
    () => open,
    () => sounds,
    ({ routine, performance }) => makingOf(routine, performance, { ppq: LIVE_PPQ }),
  );
  return {
    told,
    player,
    hear(until: number) {
      for (let heard = 0; heard <= until; heard += 960) player.heard(heard, 0);
    },
    become(next: Piece) {
      open = next;
      player.refresh();
    },
  };
}

/** Frames and messages in order, a later take in place of an earlier one. */
function heardOf(told: readonly Midi[]): [number, number][] {
  const all: [frame: number, message: number][] = [];
  for (const { first, events } of told) {
    while ((all.at(-1)?.[0] ?? -1) >= first) all.pop();
    for (let at = 0; at < events.length; at += 2) all.push([events[at] as number, events[at + 1] as number]);
  }
  return all;
}

/** What the clips of the sections say, at frames by their own tempo events: read by midi-file. */
function clipped(routine: Routine): [number, number][] {
  const performance = compile(routine);
  const all: [number, number][] = [];
  for (const { section, bytes } of clipFiles(routine, performance, { ppq: LIVE_PPQ }).files) {
    if (section === null) continue;
    const [track = []] = parseMidi(bytes).tracks;
    let seconds = performance.sections[section]?.startSeconds ?? 0;
    let perTick = 0;
    for (const event of track) {
      seconds += event.deltaTime * perTick;
      if (event.type === "setTempo") perTick = event.microsecondsPerBeat / 1e6 / LIVE_PPQ;
      const message =
        event.type === "noteOn"
          ? 0x90 | event.channel | (event.noteNumber << 8) | (event.velocity << 16)
          : event.type === "noteOff"
            ? 0x80 | event.channel | (event.noteNumber << 8) | (event.velocity << 16)
            : event.type === "controller"
              ? 0xb0 | event.channel | (event.controllerType << 8) | (event.value << 16)
              : event.type === "pitchBend"
                ? 0xe0 |
                  event.channel |
                  (((event.value + 8192) & 127) << 8) |
                  (((event.value + 8192) >> 7) << 16)
                : null;
      if (message !== null) all.push([seconds * 48_000, message]);
    }
  }
  return all;
}
const inOrder = (events: [number, number][]) => events.sort((a, b) => a[0] - b[0] || a[1] - b[1]);

test.each([120, { from: 90, to: 130 }])(
  "what goes out is what the clips hold, at the frame where it is heard (tempo %j)",
  (tempo) => {
    const routine = routineAt(tempo);
    const { told, hear } = listen(piece(routine));
    hear(48_000 * 8);
    const wanted = inOrder(clipped(routine));
    const got = inOrder(heardOf(told).filter(([, message]) => (message & 0xff) < 0xf0));
    expect(got.length).toBe(wanted.length);
    const sums = new Map<number, number>();
    for (const [, message] of wanted) sums.set(message, (sums.get(message) ?? 0) + 1);
    for (const [, message] of got) sums.set(message, (sums.get(message) ?? 0) - 1);
    expect([...sums.values()].every((count) => count === 0)).toBe(true);
    // A clip's tempo is a whole number of microseconds a quarter: in eight quarters that is at most 0.2 frames. A
    // ramp is a tempo each sixteenth there, and strays within it by an eighth of its change: 14 frames here.
    const bound = typeof tempo === "number" ? 0.5 : 14;
    for (const [index, [frame]] of wanted.entries())
      expect(Math.abs((got[index]?.[0] ?? -9) - frame)).toBeLessThan(bound);
  },
);

test("the clock is exactly 24 a quarter, evenly, and counted from the routine's start", () => {
  const { told, hear } = listen(piece(routineAt(120)));
  hear(48_000 * 8);
  const all = heardOf(told);
  const clocks = all.filter(([, message]) => message === 0xf8).map(([frame]) => frame);
  expect(clocks.length).toBe(24 * 11);
  // A quarter is 24,000 frames at 120.
  expect(clocks).toEqual(clocks.map((_, index) => index * 1000));
  expect(told[0]?.state?.clock).toBe(0);
});

test("a play from the middle tells the clock that comes next, and what holds there", () => {
  const at = UNITS_PER_QUARTER * 1.6;
  const { told } = listen(piece(routineAt(120)), { from: { section: "one", at } });
  // 1.6 quarters are 38.4 clocks: the next is the 39th, 0.6 of a thousand frames on.
  expect(told[0]?.state?.clock).toBe(39);
  expect(heardOf(told).find(([, message]) => message === 0xf8)?.[0]).toBe(600);
  // What the clip has set by then, in the seventh sixteenth, and notes that it has begun and not ended.
  const on = new Map<number, number>();
  const set = new Map<number, number>();
  for (const [frame, message] of inOrder(clipped(routineAt(120)))) {
    if (frame >= 1.6 * 24_000) break;
    const [kind, key] = [message & 0xf0, message & 0xff0f];
    if (kind === 0x90) on.set(key, message);
    else if (kind === 0x80) on.delete(key);
    else set.set(kind === 0xe0 ? message & 0xff : message & 0xffff, message);
  }
  // The fader is open: a sound is on the way, on the second channel.
  expect([...on.values()].map((message) => message & 0xff)).toContain(0x91);
  expect([...set.keys()].map((slot) => slot & 0xff).sort()).toEqual([0xb0, 0xb0, 0xb1, 0xe0]);
  expect(told[0]?.state?.on.toSorted()).toEqual([...on.values()].sort());
  expect(told[0]?.state?.set.toSorted()).toEqual([...set.values()].sort());
});

test("each new take says which clock comes next, so that edits leave their count exact; a loop counts again", () => {
  const { told, become, hear } = listen(piece(routineAt(120)), {
    loop: { from: { section: "one", at: 0 }, to: { section: "one", at: 4 * UNITS_PER_QUARTER } },
  });
  hear(10_000);
  for (const tempo of [120, 121, 60, 240]) become(piece(routineAt(tempo)));
  hear(48_000 * 5);
  let next: number | null = null;
  let leaps = 0;
  const counted: number[] = [];
  for (const { first, take, events, state } of told) {
    const clocks = events.filter((_, at) => events[at + 1] === 0xf8 && at % 2 === 0);
    // What an earlier take told beyond this one's first frame does not hold.
    while (state !== null && (counted.at(-1) ?? -1) >= first) {
      counted.pop();
      next = (next ?? 0) - 1;
    }
    if (state !== null && state.clock !== next) {
      leaps += 1;
      expect(state.clock).toBe(0);
      expect(take === 1 || first > 48_000).toBe(true);
    }
    if (state !== null) next = state.clock;
    counted.push(...clocks);
    next = (next ?? 0) + clocks.length;
  }
  // The start, and the rounds of a second at 240 that begin in five seconds.
  expect(leaps).toBeGreaterThan(4);
});

test("counting in and the rest after a round send nothing, once what holds there is told", () => {
  const { told, hear } = listen(piece(routineAt(120)), {
    rounds: [
      {
        number: 0,
        range: { from: { section: "one", at: 0 }, to: { section: "one", at: 4 * UNITS_PER_QUARTER } },
        speed: 1,
        countIn: { count: 2, by: "beat" },
        rest: 1,
        silent: false,
      },
    ],
  });
  // Two beats of 24,000 frames, the bar, a second of rest, all rendered half a second ahead.
  hear(48_000 + 96_000 + 48_000 - 24_000);
  const sounding = told.filter(({ events }) => events.length > 0);
  expect(sounding[0]?.first).toBe(48_000);
  const clocks = heardOf(told).filter(([, message]) => message === 0xf8);
  expect(clocks.map(([frame]) => frame)).toEqual(clocks.map((_, index) => 48_000 + index * 1000));
  expect(clocks.length).toBe(4 * 24);
  for (const [frame] of heardOf(told)) {
    expect(frame).toBeGreaterThanOrEqual(48_000);
    expect(frame).toBeLessThanOrEqual(144_000);
  }
  const silent = told.filter(({ state }) => state?.clock === null);
  expect(silent).toEqual([
    expect.objectContaining({
      first: 144_000,
      events: [],
      state: { on: [], set: [], rest: [], clock: null },
    }),
  ]);
});
