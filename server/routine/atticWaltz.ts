/**
 * The second example, "Attic Waltz": slow, in threes, tears and holds over an old tape. Composed in the client from
 * an empty file. One motif, the Hinge, opens the hatch and shuts it; between them the groups grow from threes to
 * fives and sevens against the bar, the tempo rises to the clock on the landing, and falls again.
 */
import type { Routine } from "../../schemas/routine.ts";

/** How its tape is made: the drawn beat, rendered by the program; the routine turns it slower, as a record. */
export const LOFT_TAPE = {
  file: "Loft tape.wav",
  beat: "loft-drums",
  meter: "3/4",
  bars: 2,
  tempo: 90,
} as const;

export const ATTIC_WALTZ: Routine = {
  format: "countercut-routine",
  version: 1,
  title: "Attic Waltz",
  timeLimit: 180,
  rig: {
    samples: [
      { id: "voice", name: "Voice", builtIn: "vowel" },
      { id: "glass", name: "Glass", builtIn: "tone" },
    ],
  },
  patterns: [
    {
      id: "hinge",
      name: "Hinge",
      record: {
        step: "1/4",
        strokes: [{ move: "forward" }, { move: "forward" }, { move: "back", travel: 90 }],
      },
      fader: {
        step: "1/8",
        cells: [{ fader: "open" }, { fader: "open" }, { fader: "open" }, { fader: "closed" }],
      },
    },
    {
      id: "hinge-at-rest",
      name: "Hinge at rest",
      record: {
        step: "1/8",
        strokes: [
          { move: "forward", length: 2, travel: 90 },
          { move: "hold" },
          { move: "back" },
          { move: "back" },
          { move: "hold" },
        ],
      },
      fader: { step: "1/8", cells: [{ fader: "open", length: 5 }, { fader: "pulse" }] },
    },
    {
      id: "stair",
      name: "Stair",
      record: {
        step: "1/8",
        strokes: [
          { move: "forward", travel: 60 },
          { move: "forward", travel: 60 },
          { move: "back", length: 2, travel: 120 },
        ],
      },
      fader: { step: "1/8", cells: [{ fader: "open", length: 2 }, { fader: "closed" }] },
    },
    {
      id: "dust",
      name: "Dust",
      record: {
        step: "1/8",
        strokes: [
          { move: "forward", length: 3, travel: 80 },
          { move: "back", length: 2, travel: 40 },
          { move: "back", length: 2, travel: 40 },
        ],
      },
      fader: { step: "1/8", cells: [{ fader: "open", length: 2 }, { fader: "pulse" }, { fader: "closed" }] },
    },
    {
      id: "five-down",
      name: "Five down",
      record: {
        step: "1/8",
        strokes: [
          { move: "forward", length: 2, travel: 50 },
          { move: "forward", travel: 50 },
          { move: "back", length: 2, travel: 100 },
        ],
      },
      fader: { step: "1/8", cells: [{ fader: "open", length: 2 }, { fader: "pulse" }] },
    },
    {
      id: "landing-clock",
      name: "Landing clock",
      record: {
        step: "1/12",
        strokes: [
          { move: "forward", length: 2, travel: 40 },
          { move: "back", travel: 20 },
          { move: "back", travel: 20 },
        ],
      },
      fader: { step: "1/12", cells: [{ fader: "open", length: 2 }, { fader: "pulse" }] },
    },
    {
      id: "sill",
      name: "Sill",
      record: {
        step: "1/8",
        strokes: [
          { move: "forward", length: 2, travel: 60 },
          { move: "back", travel: 60 },
        ],
      },
      fader: { step: "1/8", cells: [{ fader: "open", length: 2 }, { fader: "pulse" }] },
    },
    {
      id: "curtain",
      name: "Curtain",
      record: { step: "1/8", strokes: [{ move: "forward", length: 6, shape: "released" }] },
      fader: {
        step: "1/8",
        cells: [
          { fader: "open", length: 4 },
          { fader: "pulse", length: 2, times: 2 },
        ],
      },
    },
  ],
  beats: [
    {
      id: "loft-drums",
      name: "Loft drums",
      step: "1/16",
      steps: 24,
      hits: [
        { key: 36, at: [0], velocity: 112 },
        { key: 36, at: [12], velocity: 106 },
        { key: 36, at: [19], velocity: 64 },
        { key: 37, at: [4], velocity: 78 },
        { key: 37, at: [16], velocity: 84 },
        { key: 38, at: [8], velocity: 66 },
        { key: 38, at: [20], velocity: 74 },
        { key: 38, at: [23], velocity: 38 },
        { key: 42, at: [2, 14], velocity: 50 },
        { key: 42, at: [6, 18], velocity: 54 },
        { key: 42, at: [10], velocity: 46 },
        { key: 42, at: [22], velocity: 44 },
      ],
    },
    {
      id: "loft-tape",
      name: "Loft tape",
      step: "1/16",
      steps: 24,
      hits: [],
      recorded: { file: "Loft tape.wav", tempo: 90 },
    },
  ],
  sections: [
    {
      id: "hatch",
      name: "Hatch",
      bars: 8,
      meter: "3/4",
      tempo: 72,
      placements: [
        { pattern: "hinge", bar: 1, lasts: { cycles: 2 } },
        { words: "Let it hang in the rafters", bar: 5, lasts: { bars: 1 } },
        { pattern: "hinge-at-rest", bar: 6, lasts: { cycles: 2 } },
      ],
    },
    {
      id: "lamp",
      name: "Lamp",
      bars: 12,
      meter: "3/4",
      tempo: 72,
      beat: "loft-tape",
      placements: [
        { pattern: "hinge", bar: 1, lasts: { cycles: 2 } },
        { pattern: "stair", bar: 5, lasts: { cycles: 2 } },
        { pattern: "hinge", bar: 9, lasts: { cycles: 1 } },
        { pattern: "sill", bar: 11, lasts: { cycles: 2 } },
        { pattern: "curtain", bar: 12, lasts: { cycles: 1 } },
      ],
    },
    {
      id: "dust-in-the-light",
      name: "Dust in the light",
      bars: 14,
      meter: "3/4",
      tempo: 72,
      beat: "loft-tape",
      placements: [{ pattern: "dust", bar: 1, lasts: { cycles: 3 }, carriesOn: true }],
    },
    {
      id: "floorboards",
      name: "Floorboards",
      bars: 6,
      meter: "3/4",
      tempo: 72,
      beat: "loft-tape",
      beatRests: [1, 2, 3, 4, 5, 6],
      placements: [
        { words: "Needle to the glass; step back", bar: 1, lasts: { bars: 1 } },
        { pattern: "hinge-at-rest", bar: 2, lasts: { cycles: 2 }, sample: "glass" },
        { pattern: "curtain", bar: 4, lasts: { cycles: 1 }, sample: "glass" },
        { words: "Needle back to the voice; let it creak", bar: 5, lasts: { bars: 2 } },
      ],
    },
    {
      id: "five-stairs-down",
      name: "Five stairs down",
      bars: 10,
      meter: "3/4",
      tempo: { from: 72, to: 78 },
      beat: "loft-tape",
      placements: [{ pattern: "five-down", bar: 1, lasts: { cycles: 4 } }],
    },
    {
      id: "clock-on-the-landing",
      name: "Clock on the landing",
      bars: 8,
      meter: "3/4",
      tempo: 78,
      beat: "loft-drums",
      beatRests: [7, 8],
      placements: [{ pattern: "landing-clock", bar: 1, lasts: { cycles: 6 } }],
    },
    {
      id: "hatch-closed",
      name: "Hatch, closed",
      bars: 14,
      meter: "3/4",
      tempo: { from: 78, to: 70 },
      beat: "loft-tape",
      beatRests: [13, 14],
      placements: [
        { pattern: "hinge", bar: 1, lasts: { cycles: 2 } },
        { pattern: "stair", bar: 5, lasts: { cycles: 1 } },
        { pattern: "hinge", bar: 7, lasts: { cycles: 2 } },
        { pattern: "hinge-at-rest", bar: 11, lasts: { cycles: 2 } },
        { pattern: "curtain", bar: 13, lasts: { cycles: 1 } },
      ],
    },
  ],
};
