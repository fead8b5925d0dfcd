/** Bytes that a parser did not expect: random ones, and valid ones after small accidents. */

const TELLING = [0, 1, 0x20, 0x22, 0x2c, 0x30, 0x5b, 0x5d, 0x7b, 0x7d, 0x7f, 0x80, 0xc0, 0xff];

/** In place of what a field of a text holds: beyond bounds, no whole number, of another kind. */
const VALUES = [
  "-1",
  "0",
  "0.5",
  "1e9",
  "9007199254740993",
  "-1e308",
  "1e400",
  "null",
  "true",
  '""',
  "[]",
  "{}",
];

/** `random` gives numbers from 0, 1 not included. */
export function mutated(seeds: readonly Uint8Array[], random: () => number): Uint8Array {
  const below = (count: number): number => Math.floor(random() * count);
  if (below(8) === 0) return Uint8Array.from({ length: below(300) }, () => below(256));
  // Of a text that stays one, the values alone: past its syntax, into what is made of it.
  const wellFormed = below(4) === 0;
  let bytes = Buffer.from(seeds[below(seeds.length)] as Uint8Array);
  for (let accident = 1 + below(4); accident > 0; accident--) {
    const at = below(bytes.length + 1);
    const length = below(below(4) === 0 ? bytes.length : 8);
    const [head, tail] = [bytes.subarray(0, at), bytes.subarray(at)];
    switch (wellFormed ? 7 : below(9)) {
      case 0:
        bytes = Buffer.from(bytes);
        if (at < bytes.length) bytes[at] = (bytes[at] as number) ^ (1 << below(8));
        break;
      case 1:
        bytes = Buffer.from(bytes);
        if (at < bytes.length) bytes[at] = TELLING[below(TELLING.length)] as number;
        break;
      case 2:
        bytes = Buffer.concat([head, tail.subarray(length)]);
        break;
      case 3:
        bytes = Buffer.concat([head, tail.subarray(0, length), tail]);
        break;
      case 4:
        bytes = Buffer.concat([head, Buffer.from(Array.from({ length }, () => below(256))), tail]);
        break;
      case 5:
        bytes = Buffer.from(head);
        break;
      case 6: {
        const other = seeds[below(seeds.length)] as Uint8Array;
        bytes = Buffer.concat([head, other.subarray(below(other.length))]);
        break;
      }
      case 7: {
        const other = VALUES[below(VALUES.length)] as string;
        const changed = tail.toString("latin1").replace(/:\s*("[^"]*"|[-\w.]+)/, `:${other}`);
        bytes = Buffer.concat([head, Buffer.from(changed, "latin1")]);
        break;
      }
      default:
        bytes = Buffer.from(bytes);
        // A number of four bytes at its largest, where lengths are likely to stand.
        bytes.fill(0xff, at, Math.min(bytes.length, at + 4));
    }
    if (bytes.length > 100_000) bytes = bytes.subarray(0, 100_000);
  }
  return bytes;
}
