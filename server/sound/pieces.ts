/**
 * What each key of the kit is made of. Keys 35 to 81 are General MIDI System Level 1's percussion map (MMA RP-003),
 * 27 to 34 and 82 to 87 General MIDI 2's (RP-024); any other key is a wood block tuned to it. The sounds are ours.
 */
import type { Metal, Noise, Piece, Tone } from "./drums.ts";

type Filters = Noise["filters"];
const tone = (hertz: number, decay: number, level: number, more: Partial<Tone> = {}): Tone => ({
  kind: "tone",
  hertz,
  decay,
  level,
  ...more,
});
const noise = (filters: Filters, decay: number, level: number, more: Partial<Noise> = {}): Noise => ({
  kind: "noise",
  filters,
  decay,
  level,
  ...more,
});
const metal = (
  hertz: number,
  filters: Filters,
  decay: number,
  level: number,
  more: Partial<Metal> = {},
): Metal => ({
  kind: "metal",
  hertz,
  filters,
  decay,
  level,
  ...more,
});
const piece = (peak: number, pan: number, parts: Piece["parts"], more: Partial<Piece> = {}): Piece => ({
  peak,
  pan,
  parts,
  ...more,
});

const bassDrum = (hertz: number, decay: number): Piece =>
  piece(
    0.95,
    0,
    [
      tone(hertz, decay, 1, { start: 4.2, bend: 0.016 }),
      tone(hertz * 2.1, 0.09, 0.35, { start: 2, bend: 0.01 }),
      noise([["bandpass", 3200, 0.6]], 0.02, 0.5, { bright: 1 }),
    ],
    { drive: 1.6, soft: 900, room: 0.04 },
  );

const snare = (hertz: number, wires: number, decay: number): Piece =>
  piece(
    0.75,
    0.05,
    [
      tone(hertz, 0.16, 0.8, { start: 1.7, bend: 0.012 }),
      tone(hertz * 1.78, 0.1, 0.5, { start: 1.4, bend: 0.008 }),
      noise(
        [
          ["highpass", 1400],
          ["lowpass", 9500],
        ],
        decay,
        wires,
        { bright: 0.4 },
      ),
      noise([["bandpass", 5200, 0.7]], 0.03, 0.7, { bright: 1 }),
    ],
    { drive: 1.3, soft: 2600, room: 0.16 },
  );

const tom = (hertz: number, pan: number): Piece =>
  piece(
    0.8,
    pan,
    [
      tone(hertz, 0.55, 1, { start: 1.8, bend: 0.045 }),
      tone(hertz * 1.59, 0.22, 0.3, { start: 1.5, bend: 0.03 }),
      noise([["bandpass", 2400, 0.5]], 0.035, 0.35, { bright: 1 }),
    ],
    { drive: 1.2, soft: 1200, room: 0.12 },
  );

const hiHat = (decay: number, peak: number): Piece =>
  piece(
    peak,
    0.25,
    [
      metal(
        322,
        [
          ["highpass", 7200],
          ["bandpass", 10_400, 0.6],
        ],
        decay,
        0.5,
      ),
      noise([["highpass", 8200]], decay * 0.8, 0.7),
      noise([["bandpass", 4800, 1]], 0.012, 0.4, { bright: 1 }),
    ],
    { soft: 7500, room: 0.1 },
  );

const crash = (hertz: number, decay: number, pan: number): Piece =>
  piece(
    0.55,
    pan,
    [
      metal(hertz, [["highpass", 3600]], decay, 0.4, { attack: 0.003 }),
      noise([["highpass", 4200]], decay * 0.85, 0.8, { attack: 0.002 }),
      noise([["bandpass", 2600, 0.7]], 0.12, 0.5, { bright: 1 }),
    ],
    { soft: 6000 },
  );

const ride = (hertz: number, decay: number, bell: number): Piece =>
  piece(
    0.42,
    -0.3,
    [
      metal(hertz, [["highpass", 5200]], decay, 0.35),
      metal(hertz * 1.9, [["bandpass", 3100, 2]], decay * 0.5, bell),
      noise([["highpass", 7000]], 0.06, 0.5, { bright: 1 }),
    ],
    { soft: 6500 },
  );

const bell = (hertz: number, decay: number, pan: number): Piece =>
  piece(0.45, pan, [
    tone(hertz, decay, 0.7, { shape: "square" }),
    tone(hertz * 1.504, decay * 0.8, 0.6, { shape: "square" }),
    noise([["bandpass", hertz * 4, 1]], 0.02, 0.4, { bright: 1 }),
  ]);

const handDrum = (hertz: number, decay: number, slap: number, pan: number): Piece =>
  piece(
    0.7,
    pan,
    [
      tone(hertz, decay, 1, { start: 1.25, bend: 0.01 }),
      tone(hertz * 2.3, decay * 0.3, 0.35),
      noise([["bandpass", 2800, 0.8]], 0.03, slap, { bright: 1 }),
    ],
    { soft: 1800 },
  );

const wood = (hertz: number, pan: number, decay = 0.09): Piece =>
  piece(0.6, pan, [
    tone(hertz, decay, 1, { start: 1.06, bend: 0.004 }),
    tone(hertz * 2.71, decay * 0.45, 0.35),
    noise([["bandpass", hertz * 3, 1]], 0.008, 0.5, { bright: 1 }),
  ]);

const shaken = (hertz: number, decay: number, attack: number, peak: number, pan: number): Piece =>
  piece(
    peak,
    pan,
    [
      noise(
        [
          ["bandpass", hertz, 0.8],
          ["highpass", hertz * 0.7],
        ],
        decay,
        1,
        { attack },
      ),
    ],
    {
      soft: 6000,
    },
  );

const jingles = (decay: number, peak: number, pan: number): Piece =>
  piece(
    peak,
    pan,
    [
      metal(1450, [["highpass", 7000]], decay, 0.6),
      noise([["highpass", 8500]], decay * 0.7, 0.6),
      metal(1210, [["highpass", 6000]], decay * 0.5, 0.4, { delay: 0.018 }),
    ],
    { soft: 8000 },
  );

const scrape = (strokes: number, every: number, pan: number): Piece =>
  piece(
    0.45,
    pan,
    Array.from({ length: strokes }, (_, i) =>
      noise([["bandpass", 2300 + 60 * i, 1.6]], 0.03, 0.7 + (0.3 * i) / strokes, { delay: i * every }),
    ),
  );

const clap: Piece = piece(
  0.7,
  -0.1,
  [0, 0.011, 0.021, 0.031].map((delay, i) =>
    noise(
      [
        ["bandpass", 1250, 0.9],
        ["highpass", 600],
      ],
      i === 3 ? 0.22 : 0.025,
      i === 3 ? 0.8 : 1,
      { delay },
    ),
  ),
  { soft: 2500, room: 0.2 },
);

const whistle = (decay: number): Piece =>
  piece(0.35, 0.3, [
    tone(2350, decay, 0.7, { attack: 0.01 }),
    tone(2410, decay, 0.6, { attack: 0.01 }),
    noise([["bandpass", 2400, 3]], decay, 0.5, { attack: 0.01 }),
  ]);

const cuica = (hertz: number, start: number, decay: number): Piece =>
  piece(0.45, 0.35, [tone(hertz, decay, 1, { start, bend: 0.06, shape: "triangle", attack: 0.01 })]);

const triangle = (decay: number): Piece =>
  piece(0.4, 0.4, [
    tone(4120, decay, 0.6),
    tone(5470, decay * 0.8, 0.45),
    tone(8310, decay * 0.5, 0.4, { bright: 0.6 }),
    noise([["highpass", 9000]], 0.012, 0.4, { bright: 1 }),
  ]);

const PIECES: Readonly<Record<number, Piece>> = {
  27: piece(0.5, 0.2, [tone(300, 0.18, 1, { start: 9, bend: 0.02 })]),
  28: piece(0.6, 0.2, [noise([["bandpass", 1900, 0.9]], 0.09, 1), tone(700, 0.04, 0.5)]),
  29: piece(0.5, 0.1, [noise([["bandpass", 1500, 1.4]], 0.12, 1, { attack: 0.03 })]),
  30: piece(0.5, 0.1, [noise([["bandpass", 900, 1.4]], 0.14, 1, { attack: 0.05 })]),
  31: wood(1750, 0, 0.06),
  32: piece(0.4, 0, [tone(1100, 0.03, 1, { shape: "square" })]),
  33: wood(2200, 0, 0.04),
  34: piece(0.4, 0, [tone(2600, 0.3, 1), tone(5230, 0.2, 0.4)]),
  35: bassDrum(44, 0.5),
  36: bassDrum(52, 0.36),
  37: piece(
    0.6,
    -0.15,
    [tone(1720, 0.03, 0.7), tone(480, 0.06, 0.6), noise([["bandpass", 3400, 1]], 0.03, 0.9, { bright: 0.5 })],
    { room: 0.2 },
  ),
  38: snare(182, 0.75, 0.24),
  39: clap,
  40: snare(214, 0.9, 0.19),
  41: tom(82, -0.5),
  42: hiHat(0.09, 0.46),
  43: tom(98, -0.35),
  44: hiHat(0.06, 0.34),
  45: tom(118, -0.2),
  46: hiHat(0.75, 0.4),
  47: tom(142, 0),
  48: tom(168, 0.2),
  49: crash(398, 2.4, -0.4),
  50: tom(202, 0.35),
  51: ride(412, 1.9, 0.15),
  52: crash(262, 1.6, 0.5),
  53: ride(502, 1.4, 0.7),
  54: jingles(0.28, 0.4, 0.3),
  55: crash(540, 0.9, 0.3),
  56: bell(562, 0.28, 0.2),
  57: crash(352, 2.7, 0.45),
  58: scrape(16, 0.024, -0.3),
  59: ride(448, 1.6, 0.1),
  60: handDrum(415, 0.2, 0.4, 0.25),
  61: handDrum(298, 0.26, 0.35, 0.25),
  62: handDrum(330, 0.09, 0.8, -0.25),
  63: handDrum(300, 0.34, 0.35, -0.25),
  64: handDrum(212, 0.4, 0.3, -0.3),
  65: handDrum(392, 0.42, 0.7, 0.35),
  66: handDrum(262, 0.5, 0.6, 0.35),
  67: bell(912, 0.4, -0.35),
  68: bell(684, 0.42, -0.35),
  69: shaken(6200, 0.11, 0.02, 0.38, 0.3),
  70: shaken(7800, 0.06, 0.01, 0.34, -0.3),
  71: whistle(0.2),
  72: whistle(0.6),
  73: scrape(5, 0.014, 0.3),
  74: scrape(14, 0.022, 0.3),
  75: wood(2520, 0.2, 0.07),
  76: wood(1120, -0.2),
  77: wood(790, -0.2),
  78: cuica(340, 0.7, 0.16),
  79: cuica(300, 1.6, 0.34),
  80: triangle(0.14),
  81: triangle(1.6),
  82: shaken(6800, 0.09, 0.025, 0.36, -0.2),
  83: jingles(0.5, 0.36, -0.3),
  84: piece(
    0.35,
    0.4,
    Array.from({ length: 14 }, (_, i) => tone(6200 * 0.94 ** i, 0.9, 0.4, { delay: i * 0.045 })),
  ),
  85: piece(
    0.5,
    0.3,
    [0, 0.028].map((delay) => tone(2050, 0.035, 1, { delay, start: 1.1, bend: 0.004 })),
  ),
  86: piece(0.75, -0.4, [tone(74, 0.2, 1, { start: 1.3 }), noise([["bandpass", 1500, 0.7]], 0.03, 0.3)]),
  87: piece(0.8, -0.4, [tone(70, 0.8, 1, { start: 1.3 }), noise([["bandpass", 1500, 0.7]], 0.04, 0.3)]),
};

/** The piece of a key, 0 to 127. */
export const pieceOf = (key: number): Piece => PIECES[key] ?? wood(440 * 2 ** ((key - 69) / 12), 0);

/** Keys with a piece of their own, ascending. */
export const KEYS: readonly number[] = Object.keys(PIECES).map(Number);
