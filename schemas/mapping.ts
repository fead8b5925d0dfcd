/**
 * How a routine is written as MIDI: for each strand its channel, keys, controllers, velocities and range, and whether
 * it is written at all. A mapping has a name and is saved with the routine (`mappings`, of which the first is in use)
 * or in the folder for all its routines. What is left out is as in `MAPPING_DEFAULTS`.
 */
import { z } from "zod";

/** MIDI files hold 15 bits of ticks a quarter. */
export const MOST_TICKS = 32_767;
export const DEFAULT_PPQ = 960;
const MOST_MAPPINGS = 64;

/** Channels as people count them, 1 to 16. */
const Channel = z.int().min(1).max(16);
const Key = z.int().min(0).max(127);
const Velocity = z.int().min(1).max(127);
/** Controllers 120 to 127 are channel mode messages (MIDI 1.0 Detailed Specification). */
const Controller = z.int().min(0).max(119);
/** A controller whose low byte is the one 32 above. */
const WideController = z.int().min(0).max(31);
const None = z.literal("none");
const orNone = <Value extends z.ZodType>(value: Value) => z.union([value, None]);

const SoundVelocities = z.strictObject({
  cut: Velocity.optional(),
  turn: Velocity.optional(),
  "from-rest": Velocity.optional(),
  restart: Velocity.optional(),
});
const SoundsMapping = z.strictObject({
  written: z.boolean().optional(),
  channel: Channel.optional(),
  forward: Key.optional(),
  back: Key.optional(),
  /** By how the sound begins. */
  velocity: SoundVelocities.optional(),
});
const RecordMapping = z.strictObject({
  written: z.boolean().optional(),
  channel: Channel.optional(),
  /** The record's speed as pitch bend, the centre still. */
  bend: z.boolean().optional(),
  /** The record's speed as a controller, 64 still. */
  speed: orNone(WideController).optional(),
  /** Times platter speed (the pitch slider taken into account) at full deflection of bend and speed. */
  fullSpeed: z.number().min(0.25).max(64).optional(),
  /** Where the record stands within the sample's repeat. */
  position: orNone(WideController).optional(),
  /** 14 bits for speed and position: the low byte in the controller 32 above; else 7 bits. */
  fine: z.boolean().optional(),
});
const FaderMapping = z.strictObject({
  written: z.boolean().optional(),
  channel: Channel.optional(),
  controller: orNone(Controller).optional(),
  /** Values of the controller, 0 to 127. */
  open: Key.optional(),
  closed: Key.optional(),
  /** A note while the fader is open. */
  key: orNone(Key).optional(),
  velocity: Velocity.optional(),
});
const GroupsMapping = z.strictObject({
  written: z.boolean().optional(),
  channel: Channel.optional(),
  record: orNone(Key).optional(),
  fader: orNone(Key).optional(),
  bar: orNone(Key).optional(),
  beat: orNone(Key).optional(),
  velocity: Velocity.optional(),
});
const BeatMapping = z.strictObject({
  written: z.boolean().optional(),
  channel: Channel.optional(),
  /** Keys that are written otherwise than in the beat, or not at all. */
  keys: z
    .array(z.strictObject({ key: Key, as: orNone(Key) }))
    .max(128)
    .optional(),
});

export const Mapping = z.strictObject({
  id: z
    .string()
    .max(200)
    .regex(/^[a-z0-9]+(?:-[a-z0-9]+)*$/, "is no id: lower-case words joined by hyphens"),
  name: z.string().max(200).optional(),
  /** Ticks a quarter, so many that every bar is a whole number of them; or the fewest that put all events on a tick. */
  ppq: z.union([z.int().min(24).max(MOST_TICKS).multipleOf(8), z.literal("exact")]).optional(),
  sounds: SoundsMapping.optional(),
  record: RecordMapping.optional(),
  fader: FaderMapping.optional(),
  groups: GroupsMapping.optional(),
  beat: BeatMapping.optional(),
});
export type Mapping = z.infer<typeof Mapping>;
export const Mappings = z.array(Mapping).max(MOST_MAPPINGS);

/** General MIDI 2 keys on channel 10; bend, General Purpose Controller 1 (16), expression (11). */
export const MAPPING_DEFAULTS = {
  sounds: {
    written: true,
    channel: 10,
    /** Scratch push, scratch pull. */
    forward: 29,
    back: 30,
    velocity: { cut: 112, turn: 88, "from-rest": 80, restart: 72 },
  },
  record: { written: true, channel: 1, bend: true, speed: "none", fullSpeed: 4, position: 16, fine: true },
  fader: { written: true, channel: 2, controller: 11, open: 127, closed: 0, key: 60, velocity: 100 },
  /** Sticks, square click, metronome bell, metronome click. */
  groups: { written: true, channel: 10, record: 31, fader: 32, bar: 34, beat: 33, velocity: 100 },
  beat: { written: true, channel: 10, keys: [] },
} as const;

type None = "none";
/** A mapping with everything said. */
export interface Encoding {
  readonly ppq: number | "exact";
  readonly sounds: {
    readonly written: boolean;
    readonly channel: number;
    readonly forward: number;
    readonly back: number;
    readonly velocity: Readonly<Record<keyof z.infer<typeof SoundVelocities>, number>>;
  };
  readonly record: {
    readonly written: boolean;
    readonly channel: number;
    readonly bend: boolean;
    readonly speed: number | None;
    readonly fullSpeed: number;
    readonly position: number | None;
    readonly fine: boolean;
  };
  readonly fader: {
    readonly written: boolean;
    readonly channel: number;
    readonly controller: number | None;
    readonly open: number;
    readonly closed: number;
    readonly key: number | None;
    readonly velocity: number;
  };
  readonly groups: {
    readonly written: boolean;
    readonly channel: number;
    readonly record: number | None;
    readonly fader: number | None;
    readonly bar: number | None;
    readonly beat: number | None;
    readonly velocity: number;
  };
  readonly beat: {
    readonly written: boolean;
    readonly channel: number;
    readonly keys: readonly { readonly key: number; readonly as: number | None }[];
  };
}

/** The program's own mappings; they cannot be changed, but copied. */
export const OUR_MAPPINGS: readonly Mapping[] = [
  { id: "everything", name: "Everything" },
  {
    id: "general-midi-2-kit",
    name: "General MIDI 2 kit",
    record: { written: false },
    fader: { written: false },
  },
  {
    // Above the percussion keys of General MIDI 2 (27 to 87), so that none is that of a drum.
    id: "plain-notes",
    name: "Plain notes on one channel",
    sounds: { channel: 1, forward: 96, back: 98 },
    record: { written: false },
    fader: { channel: 1, controller: "none", key: 100 },
    groups: { channel: 1, record: 101, fader: 103, bar: 105, beat: 107 },
    beat: { channel: 1 },
  },
  {
    id: "controllers-only",
    name: "Controllers only",
    sounds: { written: false },
    record: { bend: false, speed: 17 },
    fader: { key: "none" },
    groups: { written: false },
    beat: { written: false },
  },
];
export const DEFAULT_MAPPING: Mapping = OUR_MAPPINGS[0] as Mapping;

/** What is said, and the default where nothing is. */
function filled<Full extends object>(
  full: Full,
  said: { readonly [Field in keyof Full]?: Full[Field] | undefined } | undefined,
): Full {
  const result = { ...full };
  for (const field of Object.keys(full) as (keyof Full)[]) {
    const value = said?.[field];
    if (value !== undefined) result[field] = value as Full[typeof field];
  }
  return result;
}

const FULL: Omit<Encoding, "ppq"> = MAPPING_DEFAULTS;

export function encodingOf({ ppq, sounds, record, fader, groups, beat }: Mapping): Encoding {
  const velocity = filled(FULL.sounds.velocity, sounds?.velocity);
  return {
    ppq: ppq ?? DEFAULT_PPQ,
    sounds: filled(FULL.sounds, { ...sounds, velocity }),
    record: filled(FULL.record, record),
    fader: filled(FULL.fader, fader),
    groups: filled(FULL.groups, groups),
    beat: filled(FULL.beat, beat),
  };
}
