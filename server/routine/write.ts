/**
 * A routine as its file: fields in the order of the schemas, what equals a default left out, short things on one
 * line; the same bytes for the same routine.
 */
import type { z } from "zod";
import {
  Beat,
  Cell,
  Cue,
  DEFAULT_LIMITS,
  DEFAULT_REPEATS_EVERY,
  DEFAULT_TRAVEL,
  DEFAULT_VELOCITY,
  FaderCycle,
  Hit,
  Limits,
  Pattern,
  PatternPlacement,
  RecordCycle,
  RecordedBeat,
  Rig,
  Routine,
  Sample,
  Section,
  Stroke,
  Swing,
  WordsPlacement,
} from "../../schemas/routine.ts";
import { DEFAULT_PPQ, Mapping, MAPPING_DEFAULTS } from "../../schemas/mapping.ts";
import { DEFAULT_SAMPLES } from "../../schemas/rig.ts";

type Json = string | number | boolean | readonly Json[] | { readonly [key: string]: Json };
type Fields = Record<string, unknown>;

const ONE = [1, "1"];
const ZERO = [0, "0"];

/** Field by field, what is the same as nothing said. */
const DEFAULTS = {
  stroke: { length: ONE, travel: [DEFAULT_TRAVEL], shape: ["eased"], times: [1] },
  cell: { length: ONE, times: [1] },
  hit: { velocity: [DEFAULT_VELOCITY] },
  recordedBeat: { firstBeat: [0] },
  sample: { repeatsEvery: [DEFAULT_REPEATS_EVERY], cue: [0] },
  rig: { platter: [33], reversedFader: [false] },
  limits: Object.fromEntries(Object.entries(DEFAULT_LIMITS).map(([name, value]) => [name, [value]])),
  placement: {
    at: ZERO,
    recordFrom: [0],
    faderFrom: [0],
    recordAt: [0],
    player: [1],
    carriesOn: [false],
    arrives: ["hand"],
  },
  swing: { beat: [50], hands: [50] },
  section: { pitch: [0], beatContinues: [false] },
} satisfies Record<string, Record<string, readonly unknown[]>>;

/** The fields of `value` in the order of `schema`, less defaults, and less empty lists and objects that may go. */
function tidy(
  schema: z.ZodObject,
  value: Fields,
  defaults: Record<string, readonly unknown[]> = {},
  inner: Record<string, (value: never) => Json | undefined> = {},
): { [key: string]: Json } {
  const result: { [key: string]: Json } = {};
  for (const key of Object.keys(schema.shape)) {
    const field = value[key];
    if (field === undefined || defaults[key]?.includes(field)) continue;
    const written = inner[key] === undefined ? (field as Json) : inner[key](field as never);
    if (written !== undefined) result[key] = written;
  }
  return result;
}

const each =
  (write: (value: Fields) => Json) =>
  (list: readonly Fields[]): Json =>
    list.map(write);
const unlessEmpty = <Value extends Json | undefined>(written: Value): Value | undefined =>
  typeof written === "object" && Object.keys(written).length === 0 ? undefined : written;

const writeStroke = (value: Fields): Json => tidy(Stroke, value, DEFAULTS.stroke);
const writeCell = (value: Fields): Json => tidy(Cell, value, DEFAULTS.cell);
const writePattern = (value: Fields): Json =>
  tidy(
    Pattern,
    value,
    {},
    {
      record: (record: Fields) => tidy(RecordCycle, record, {}, { strokes: each(writeStroke) }),
      fader: (fader: Fields) => tidy(FaderCycle, fader, {}, { cells: each(writeCell) }),
    },
  );
const writeBeat = (value: Fields): Json =>
  tidy(
    Beat,
    value,
    {},
    {
      hits: each((hit) => tidy(Hit, hit, DEFAULTS.hit)),
      recorded: (recorded: Fields) => tidy(RecordedBeat, recorded, DEFAULTS.recordedBeat),
    },
  );
const writeSample = (value: Fields): Json =>
  tidy(Sample, value, DEFAULTS.sample, {
    cues: (cues: Fields[]) => unlessEmpty(each((cue) => tidy(Cue, cue))(cues)),
  });
const writeRig = (value: Fields): Json | undefined =>
  unlessEmpty(
    tidy(Rig, value, DEFAULTS.rig, {
      samples: (samples: Fields[]) => {
        const written = unlessEmpty(each(writeSample)(samples));
        return JSON.stringify(written) === JSON.stringify(DEFAULT_SAMPLES) ? undefined : written;
      },
      limits: (limits: Fields) => unlessEmpty(tidy(Limits, limits, DEFAULTS.limits)),
    }),
  );
const writePlacement = (value: Fields): Json =>
  "words" in value
    ? tidy(WordsPlacement, value, DEFAULTS.placement)
    : tidy(PatternPlacement, value, DEFAULTS.placement);
const writeSection = (value: Fields): Json =>
  tidy(Section, value, DEFAULTS.section, {
    swing: (swing: Fields) => tidy(Swing, swing, DEFAULTS.swing),
    beatRests: (rests: number[]) => unlessEmpty(rests),
    placements: each(writePlacement),
  });

/** The part of a mapping about one strand, without what is said anyway. */
const writeStrand =
  (schema: z.ZodObject, defaults: Readonly<Record<string, unknown>>) =>
  (value: Fields): Json | undefined => {
    const plain = Object.entries(defaults).map(([field, said]) => [field, [said]] as const);
    return unlessEmpty(
      tidy(schema, value, Object.fromEntries(plain), {
        velocity: (velocity: number | Fields) =>
          typeof velocity === "number"
            ? velocity
            : unlessEmpty(tidy(SoundVelocities, velocity, SOUND_VELOCITIES)),
        keys: (keys: Fields[]) => unlessEmpty(each((key) => tidy(BeatKey, key))(keys)),
      }),
    );
  };
const { sounds, record, fader, groups, beat } = Mapping.shape;
const SoundVelocities = sounds.unwrap().shape.velocity.unwrap();
const SOUND_VELOCITIES = Object.fromEntries(
  Object.entries(MAPPING_DEFAULTS.sounds.velocity).map(([onset, velocity]) => [onset, [velocity]]),
);
const BeatKey = beat.unwrap().shape.keys.unwrap().element;
const writeMapping = (value: Fields): Json =>
  tidy(
    Mapping,
    value,
    { ppq: [DEFAULT_PPQ] },
    {
      sounds: writeStrand(sounds.unwrap(), MAPPING_DEFAULTS.sounds),
      record: writeStrand(record.unwrap(), MAPPING_DEFAULTS.record),
      fader: writeStrand(fader.unwrap(), MAPPING_DEFAULTS.fader),
      groups: writeStrand(groups.unwrap(), MAPPING_DEFAULTS.groups),
      beat: writeStrand(beat.unwrap(), MAPPING_DEFAULTS.beat),
    },
  );

/** The routine with fields in order and without what equals a default. */
const tidyRoutine = (routine: Routine): Json =>
  tidy(
    Routine,
    routine as unknown as Fields,
    {},
    {
      rig: writeRig,
      patterns: each(writePattern),
      beats: each(writeBeat),
      sections: each(writeSection),
      mappings: (mappings: Fields[]) => unlessEmpty(each(writeMapping)(mappings)),
    },
  );

const WIDTH = 110;

function oneLine(value: Json): string {
  if (Array.isArray(value)) return value.length === 0 ? "[]" : `[${value.map(oneLine).join(", ")}]`;
  if (typeof value !== "object") return JSON.stringify(value);
  const fields = Object.entries(value).map(([key, field]) => `${JSON.stringify(key)}: ${oneLine(field)}`);
  return fields.length === 0 ? "{}" : `{ ${fields.join(", ")} }`;
}

/** @param used characters of the line that are taken already */
function lines(value: Json, indent: string, used: number): string {
  const short = oneLine(value);
  if (typeof value !== "object" || used + short.length <= WIDTH) return short;
  const deeper = `${indent}  `;
  const [open, close, items] = Array.isArray(value)
    ? ["[", "]", value.map((item) => lines(item, deeper, deeper.length + 1))]
    : [
        "{",
        "}",
        Object.entries(value).map(([key, field]) => {
          const head = `${JSON.stringify(key)}: `;
          return head + lines(field, deeper, deeper.length + head.length + 1);
        }),
      ];
  return `${open}\n${items.map((item) => deeper + item).join(",\n")}\n${indent}${close}`;
}

/** The text of the routine file, ending in a line feed. */
export const writeRoutine = (routine: Routine): string => `${lines(tidyRoutine(routine), "", 0)}\n`;
