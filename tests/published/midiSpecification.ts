/**
 * MIDI Manufacturers Association, Standard MIDI Files 1.0 (RP-001), v96.1: the example files of Appendix 1, the notes
 * that it prints for them, and its table of variable-length numbers.
 */
const dump = (hex: string): Uint8Array => Uint8Array.from(Buffer.from(hex, "hex"));

export const EXAMPLES = {
  "format 0": dump(
    "4D546864000000060000000100604D54726B0000003B00FF58040402180800FF510307A12000C00500C12E00C24600923060003C60609143406" +
      "0904C208140823040003C400081434000804C4000FF2F00",
  ),
  "format 1": dump(
    "4D546864000000060001000400604D54726B0000001400FF58040402180800FF510307A1208300FF2F004D54726B0000001000C0058140904C" +
      "2081404C0000FF2F004D54726B0000000F00C12E609143408220430000FF2F004D54726B0000001500C24600923060003C6083003000003C0000" +
      "FF2F00",
  ),
} as const;

/** Of either, in ticks; channels from 0. Both end at tick 384. */
export const NOTES = [
  { channel: 0, key: 76, velocity: 32, from: 192, to: 384 },
  { channel: 1, key: 67, velocity: 64, from: 96, to: 384 },
  { channel: 2, key: 48, velocity: 96, from: 0, to: 384 },
  { channel: 2, key: 60, velocity: 96, from: 0, to: 384 },
];

export const VARIABLE_LENGTHS = [
  [0, "00"],
  [64, "40"],
  [127, "7F"],
  [128, "8100"],
  [8192, "C000"],
  [16_383, "FF7F"],
  [16_384, "818000"],
  [1_048_576, "C08000"],
  [2_097_151, "FFFF7F"],
  [2_097_152, "81808000"],
  [134_217_728, "C0808000"],
  [268_435_455, "FFFFFF7F"],
] as const;
