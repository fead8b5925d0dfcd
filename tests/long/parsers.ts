/** Every parser that reads what others wrote, with valid input to start from. */
import { brotliCompressSync, constants, crc32 } from "node:zlib";
import type { ZodType } from "zod";
import { SoundFromPage } from "../../schemas/soundWire.ts";
import { FromPage } from "../../schemas/wire.ts";
import { readMidi } from "../../server/clips/read/file.ts";
import { parseRoutine } from "../../server/routine/parse.ts";
import { readWav } from "../../server/sound/wavread.ts";
import { disk } from "../../server/store/disk.ts";
import { StoreError } from "../../server/store/errors.ts";
import { randomIds } from "../../server/store/folder.ts";
import type { FileSystem } from "../../server/store/fs.ts";
import { parseJournal } from "../../server/store/journal.ts";
import { Mappings } from "../../server/store/mappings.ts";
import { readPast } from "../../server/store/past.ts";
import { Phrases } from "../../server/store/phrases.ts";
import { LIMITS } from "../../server/web/limits.ts";
import { BodyError, safeJson } from "../../server/web/safeJson.ts";
import { journal, mappings, midi, past, phrases, routines, sound, wav, wire } from "./seeds.ts";

export interface Parser {
  readonly name: string;
  readonly seeds: readonly Uint8Array[];
  /** A problem or a result; a throw is a crash. @returns whether it was taken for valid */
  parse(bytes: Uint8Array): boolean | Promise<boolean>;
}

/** A line of the past as its file holds it: a checksum, and all of it compressed. */
const packed = (json: Uint8Array): Uint8Array =>
  brotliCompressSync(Buffer.concat([Buffer.from(`${crc32(json).toString(16).padStart(8, "0")} `), json]), {
    params: { [constants.BROTLI_PARAM_QUALITY]: 1 },
  });

/** What a page says, as the socket's door reads it. */
function said(bytes: Uint8Array, schema: ZodType): boolean {
  try {
    return schema.safeParse(safeJson(bytes, LIMITS.depth)).success;
  } catch (error) {
    if (error instanceof BodyError) return false;
    throw error;
  }
}

/** What the store reads from a disk that holds nothing else. */
async function kept(bytes: Uint8Array, read: (fs: FileSystem) => Promise<unknown>): Promise<boolean> {
  try {
    await read({ ...disk, read: async () => bytes });
    return true;
  } catch (error) {
    if (error instanceof StoreError) return false;
    throw error;
  }
}

export const PARSERS: readonly Parser[] = [
  {
    name: "routine",
    seeds: routines,
    parse: (bytes) => parseRoutine(bytes).routine !== null,
  },
  { name: "MIDI", seeds: midi, parse: (bytes) => !("problem" in readMidi(bytes)) },
  { name: "WAV", seeds: wav, parse: (bytes) => !("problem" in readWav(bytes)) },
  { name: "wire", seeds: wire, parse: (bytes) => said(bytes, FromPage) },
  { name: "sound wire", seeds: sound, parse: (bytes) => said(bytes, SoundFromPage) },
  { name: "journal", seeds: [journal], parse: (bytes) => typeof parseJournal(bytes) !== "string" },
  {
    name: "phrases",
    seeds: [phrases],
    parse: (bytes) => kept(bytes, (fs) => new Phrases({ fs, ids: randomIds }, "").list()),
  },
  {
    name: "mappings",
    seeds: [mappings],
    parse: (bytes) => kept(bytes, (fs) => new Mappings({ fs, ids: randomIds }, "").list()),
  },
  { name: "past", seeds: [packed(past)], parse: (bytes) => kept(bytes, (fs) => readPast(fs, "", "")) },
  {
    // Beyond compression and checksum.
    name: "past, unpacked",
    seeds: [past],
    parse: (bytes) => kept(packed(bytes), (fs) => readPast(fs, "", "")),
  },
];
