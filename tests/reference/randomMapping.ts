/** Random mappings: every field said or not, every strand written or not. */
import fc from "fast-check";
import type { Mapping } from "../../schemas/mapping.ts";

const key = fc.integer({ min: 0, max: 127 });
const velocity = fc.integer({ min: 1, max: 127 });
const channel = fc.integer({ min: 1, max: 16 });
const none = fc.constant("none" as const);
const orNone = <Value>(value: fc.Arbitrary<Value>) => fc.oneof(value, value, none);
const some = <Fields extends Record<string, fc.Arbitrary<unknown>>>(fields: Fields) =>
  fc.record(fields, { requiredKeys: [] });
const written = fc.constantFrom(true, true, true, false);
const wide = orNone(fc.integer({ min: 0, max: 31 }));

export const mappings = fc
  .record(
    {
      id: fc.constant("drawn"),
      ppq: fc.constantFrom(480, 960, 1920, 24, 1000, 32_760),
      sounds: some({
        written,
        channel,
        forward: key,
        back: key,
        velocity: some({ cut: velocity, turn: velocity, "from-rest": velocity, restart: velocity }),
      }),
      record: some({
        written,
        channel,
        bend: fc.boolean(),
        speed: wide,
        fullSpeed: fc.constantFrom(0.25, 1, 4, 64),
        position: wide,
        fine: fc.boolean(),
      }),
      fader: some({
        written,
        channel,
        controller: orNone(fc.integer({ min: 0, max: 119 })),
        open: key,
        closed: key,
        key: orNone(key),
        velocity,
      }),
      groups: some({
        written,
        channel,
        record: orNone(key),
        fader: orNone(key),
        bar: orNone(key),
        beat: orNone(key),
        velocity,
      }),
      beat: some({ written, channel, keys: fc.array(fc.record({ key, as: orNone(key) }), { maxLength: 4 }) }),
    },
    { requiredKeys: ["id"] },
  )
  .map((mapping) => mapping as Mapping);
