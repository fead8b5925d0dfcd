/**
 * The demo routine "Night Ferry": a ferry leaves at night and comes home. One motif of threes returns; each part
 * lets it drift against the bar for two to four bars, and brings it home.
 */
import type { Beat, Cell, Pattern, Routine, Stroke, Swing } from "../../schemas/routine.ts";

const forward = (travel: number, length = 1): Stroke => ({ move: "forward", travel, length });
const back = (travel: number, length = 1): Stroke => ({ move: "back", travel, length });
const hold = (length = 1): Stroke => ({ move: "hold", length });
const open = (length = 1): Cell => ({ fader: "open", length });
const closed = (length = 1): Cell => ({ fader: "closed", length });
/** A split click is shut for a sixth of a step, so that a finger has time for it. */
const click = (times = 1): Cell =>
  times === 1 ? { fader: "click" } : { fader: "click", times, closedFor: "1/6" };
const pulse = (times = 1, length = 1): Cell => ({ fader: "pulse", times, length });

const pattern = (id: string, name: string, strokes: Stroke[], cells: Cell[], step = "1/16"): Pattern => ({
  id,
  name,
  record: { step, strokes },
  fader: { step, cells },
});

/** Four strokes that close, under three cells: the motif. Comes round after 12 steps. */
const wake = pattern("wake", "Wake", [forward(90, 2), back(30), back(60)], [click(), open(), pulse()]);

const PATTERNS: readonly Pattern[] = [
  pattern(
    "foghorn",
    "Foghorn",
    [
      { move: "forward", shape: "even", travel: 270, length: 6 },
      hold(2),
      back(270, 6),
      hold(2),
      forward(135, 4),
      back(135, 4),
    ],
    [open(6), closed(), pulse(), open(4), pulse(2, 2), closed(2), open(4), pulse(2, 2), closed(2)],
    "1/8",
  ),
  wake,
  pattern(
    "home",
    "Home",
    [forward(60), back(60), forward(100), back(100)],
    [click(), open(), click(), pulse()],
  ),
  pattern("five-lamps", "Five lamps", [forward(75), back(75)], [click(), open(), closed(), click(), pulse()]),
  pattern("lamp-out", "Lamp out", [forward(75), back(75)], [click(), closed()]),
  pattern(
    "nine-waves",
    "Nine waves",
    [forward(60), forward(40), back(100)],
    [click(), open(), pulse(), click(), closed(), pulse(), click(), open(), closed()],
  ),
  pattern(
    "breaker",
    "Breaker",
    [forward(90), back(45), back(45), hold()],
    [click(2), open(), pulse(2), closed(), click(), open(), click(2), open(), closed()],
  ),
  pattern(
    "slack-tide",
    "Slack tide",
    [
      { move: "forward", travel: 120, length: 2 },
      { move: "back", travel: 60 },
      { move: "back", travel: 60 },
    ],
    [open(), pulse(), open(), closed()],
    "1/8",
  ),
  pattern(
    "seven-buoys",
    "Seven buoys",
    [forward(70), back(70)],
    [click(), open(), pulse(), click(), closed(), click(), pulse()],
  ),
  pattern(
    "mooring",
    "Mooring",
    [forward(80), back(40), forward(40), back(80)],
    [click(2), open(), click(), pulse()],
  ),
  pattern("lift", "Lift", [forward(45), back(45)], [pulse(2), closed()]),
  pattern(
    "last-light",
    "Last light",
    [{ move: "forward", shape: "released", length: 16 }],
    [open(12), pulse(2, 4)],
  ),
];

const KICK = 36;
const SNARE = 38;
const HAT = 42;
const OPEN_HAT = 46;
const RIM = 37;

/** Beats are counted in twelfths of a sixteenth, so that the snare can come a little late: 14 ms at 92. */
const FINE = 12;
const LATE = 1;
const on = (...sixteenths: number[]): number[] => sixteenths.map((at) => at * FINE);
const late = (...sixteenths: number[]): number[] => sixteenths.map((at) => at * FINE + LATE);
const beat = (id: string, name: string, sixteenths: number, hits: Beat["hits"]): Beat => ({
  id,
  name,
  step: "1/192",
  steps: sixteenths * FINE,
  hits,
});

const BEATS: readonly Beat[] = [
  beat("engine-room", "Engine room", 16, [
    { key: KICK, at: on(0, 7, 10) },
    { key: SNARE, at: late(4, 12), velocity: 108 },
    { key: HAT, at: on(0, 4, 8, 12), velocity: 84 },
    { key: HAT, at: on(2, 6, 10, 14), velocity: 64 },
  ]),
  // Two bars that leave room, and two that answer.
  beat("call-and-answer", "Call and answer", 64, [
    { key: KICK, at: on(0, 10, 16, 26, 32, 35, 42, 48, 51, 54, 58) },
    { key: SNARE, at: late(4, 12, 20, 28, 36, 44, 52, 60), velocity: 108 },
    { key: SNARE, at: on(39, 47, 55, 57, 62, 63), velocity: 46 },
    {
      key: HAT,
      at: on(0, 4, 8, 12, 16, 20, 24, 28, 32, 34, 36, 38, 40, 42, 44, 46, 48, 50, 52, 54, 56),
      velocity: 76,
    },
    { key: OPEN_HAT, at: on(58), velocity: 80 },
  ]),
  // Twelve against the bar's sixteen: the drums drift too, and come round every third bar.
  beat("cross-current", "Cross current", 12, [
    { key: KICK, at: on(0, 5) },
    { key: SNARE, at: late(8), velocity: 104 },
    { key: HAT, at: on(0, 2, 4, 6, 8, 10), velocity: 70 },
    { key: RIM, at: on(3, 11), velocity: 60 },
  ]),
  beat("channel", "Channel", 14, [
    { key: KICK, at: on(0, 6) },
    { key: SNARE, at: late(4, 10), velocity: 106 },
    { key: HAT, at: on(0, 2, 4, 6, 8, 10, 12), velocity: 72 },
    { key: OPEN_HAT, at: on(13), velocity: 58 },
  ]),
];

const SWING: Swing = { of: "1/16", beat: 57, hands: 57 };
const FOUR = { meter: "4/4", tempo: 92, swing: SWING } as const;

export const DEMO: Routine = {
  format: "countercut-routine",
  version: 1,
  title: "Night Ferry",
  timeLimit: 150,
  rig: {
    recordHand: "right",
    turntable: "left",
    samples: [
      { id: "voice", name: "Voice", builtIn: "vowel", cues: [{ id: "mouth-open", at: 30 }] },
      { id: "horn", name: "Horn", builtIn: "stab", cues: [{ id: "full", at: 45 }] },
    ],
  },
  patterns: PATTERNS,
  beats: BEATS,
  sections: [
    {
      id: "quay",
      name: "Quay",
      bars: 4,
      meter: "4/4",
      tempo: 92,
      placements: [
        { pattern: "foghorn", bar: 1, lasts: { cycles: 1 }, sample: "horn" },
        { words: "Needle to the voice", bar: 4, at: "1/4" },
      ],
    },
    {
      id: "cast-off",
      name: "Cast off",
      bars: 8,
      ...FOUR,
      beat: "engine-room",
      placements: [
        { pattern: "wake", bar: 1, lasts: { cycles: 5 } },
        { pattern: "home", bar: 4, at: "3/4", lasts: { cycles: 1 } },
        { pattern: "wake", bar: 5, lasts: { cycles: 2 } },
        { pattern: "wake", bar: 7, lasts: { cycles: 2 }, faderFrom: 1 },
        { pattern: "home", bar: 8, at: "3/4", lasts: { cycles: 1 } },
      ],
    },
    {
      id: "open-water",
      name: "Open water",
      bars: 8,
      ...FOUR,
      beat: "call-and-answer",
      placements: [
        { pattern: "five-lamps", bar: 1, lasts: { cycles: 3 } },
        { pattern: "lamp-out", bar: 2, at: "7/8", lasts: { cycles: 1 } },
        { pattern: "five-lamps", bar: 5, lasts: { cycles: 3 }, faderFrom: 3, recordAt: "mouth-open" },
        { pattern: "lamp-out", bar: 6, at: "7/8", lasts: { cycles: 1 }, recordAt: "mouth-open" },
        { pattern: "home", bar: 8, at: "3/4", lasts: { cycles: 1 } },
      ],
    },
    {
      id: "swell",
      name: "Swell",
      bars: 8,
      ...FOUR,
      beat: "cross-current",
      placements: [
        { pattern: "nine-waves", bar: 1, lasts: { cycles: 7 } },
        { pattern: "breaker", bar: 5, lasts: { cycles: 1 } },
        { pattern: "nine-waves", bar: 7, at: "1/4", lasts: { cycles: 2 } },
        { pattern: "mooring", bar: 8, at: "1/2", lasts: { cycles: 2 } },
      ],
    },
    {
      id: "engines-off",
      name: "Engines off",
      bars: 4,
      ...FOUR,
      beat: "engine-room",
      beatRests: [1, 2, 3, 4],
      placements: [
        { pattern: "slack-tide", bar: 1, lasts: { cycles: 3 } },
        { pattern: "slack-tide", bar: 3, lasts: { cycles: 2 }, recordAt: "mouth-open" },
        { words: "Let it ring; listen for the channel", bar: 4 },
      ],
    },
    {
      id: "channel",
      name: "Channel",
      bars: 8,
      meter: "7/8",
      tempo: 92,
      swing: SWING,
      beat: "channel",
      placements: [
        { pattern: "seven-buoys", bar: 1, lasts: { cycles: 3 } },
        { pattern: "seven-buoys", bar: 5, lasts: { cycles: 2 } },
        { pattern: "seven-buoys", bar: 7, lasts: { cycles: 2 } },
      ],
    },
    {
      id: "harbour-lights",
      name: "Harbour lights",
      bars: 8,
      meter: "4/4",
      tempo: { from: 92, to: 97 },
      swing: SWING,
      beat: "engine-room",
      beatRests: [8],
      placements: [
        { pattern: "wake", bar: 1, lasts: { cycles: 5 } },
        { pattern: "home", bar: 4, at: "3/4", lasts: { cycles: 1 } },
        { pattern: "wake", bar: 5, lasts: { cycles: 1 } },
        { pattern: "five-lamps", bar: 5, at: "3/4", lasts: { cycles: 2 } },
        { pattern: "wake", bar: 7, lasts: { cycles: 1 } },
        { pattern: "home", bar: 7, at: "3/4", lasts: { cycles: 1 } },
      ],
    },
    {
      id: "moorings",
      name: "Moorings",
      bars: 4,
      meter: "4/4",
      tempo: 97,
      swing: SWING,
      beat: "engine-room",
      beatRests: [4],
      placements: [
        { pattern: "lift", bar: 0, at: "3/4", lasts: { cycles: 2 } },
        { pattern: "mooring", bar: 1, lasts: { cycles: 4 } },
        { pattern: "wake", bar: 2, lasts: { cycles: 1 } },
        { pattern: "home", bar: 2, at: "3/4", lasts: { cycles: 1 } },
        { pattern: "mooring", bar: 3, lasts: { cycles: 3 } },
        { pattern: "last-light", bar: 4, lasts: { cycles: 1 } },
      ],
    },
  ],
};
