/** The kinds of content that clips carry, and how each is encoded unless the user says otherwise. */
import type { Onset } from "../../schemas/performance.ts";

export const STRANDS = ["sounds", "record", "fader", "groups", "beat"] as const;
export type Strand = (typeof STRANDS)[number];

/** Channels count from 0, as the bytes do; people count them from 1. */
export const ENCODING = {
  sounds: {
    channel: 9,
    /** General MIDI 2: scratch push and scratch pull. */
    forward: 29,
    back: 30,
    velocity: { cut: 112, turn: 88, "from-rest": 80, restart: 72 } satisfies Record<Onset, number>,
  },
  record: {
    channel: 0,
    /** Times platter speed at full deflection of the bend. */
    fullBend: 4,
    /** General Purpose Controller 1, high byte and low byte. */
    position: [16, 48],
  },
  fader: { channel: 1, controller: 11, key: 60, velocity: 100 },
  groups: {
    channel: 9,
    /** General MIDI 2: sticks, square click, metronome bell, metronome click. */
    record: 31,
    fader: 32,
    bar: 34,
    beat: 33,
    velocity: 100,
  },
  beat: { channel: 9 },
} as const;
