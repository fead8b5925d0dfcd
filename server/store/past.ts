/**
 * A routine's past: earlier journals, compressed, one file each, named by what they hold, so that the list of the
 * past is had from names alone: `BASE-LAST-FROM-TO.br`, the revision of its text, the last revision, and the times of
 * its first and last edit.
 *
 * Size: an id serves only to recognise an edit sent again soon, so ids are left out here; what remains (position,
 * time, kind) repeats, and takes some tens of bytes an edit by Brotli (RFC 7932).
 */
import { promisify } from "node:util";
import { brotliCompress, brotliDecompress, constants } from "node:zlib";
import { z } from "zod";
import { StoreError } from "./errors.ts";
import type { FileSystem } from "./fs.ts";
import type { EditRecord, Ids, Moment, Stretch } from "./interfaces.ts";
import { checked, decodeLine } from "./journal.ts";
import { writeWhole } from "./whole.ts";

const LARGEST_PACKED = 64 * 1024 * 1024;
const LARGEST_UNPACKED = 512 * 1024 * 1024;
const compress = promisify(brotliCompress);
const decompress = promisify(brotliDecompress);

const rev = z.int().min(0);
const Packed = z.strictObject({
  past: z.literal(1),
  base: rev,
  text: z.string(),
  edits: z.array(z.tuple([z.number(), z.unknown()])),
});

export interface PastFile extends Stretch {
  readonly file: string;
}

const NAME = /^(\d{12})-(\d{12})-(\d{1,15})-(\d{1,15})\.br$/;
const twelve = (value: number): string => String(value).padStart(12, "0");

/** The past's files, oldest first, each revision in one of them only, none from `before` on. */
export async function pastFiles(
  fs: FileSystem,
  folder: string,
  before: number,
): Promise<readonly PastFile[]> {
  if ((await fs.status(folder))?.kind !== "folder") return [];
  const byBase = new Map<number, PastFile>();
  for (const { name, kind } of await fs.list(folder)) {
    const parts = kind === "file" ? NAME.exec(name) : null;
    if (parts === null) continue;
    const [base, last, from, to] = parts.slice(1).map(Number) as [number, number, number, number];
    // A crash between two steps leaves a shorter file of the same start: the longer one holds it.
    if (base < before && last > (byBase.get(base)?.last ?? -1)) {
      byBase.set(base, { file: name, first: base + 1, last, from, to });
    }
  }
  return [...byBase.values()].sort((a, b) => a.first - b.first);
}

/** Keeps a stretch of edits for good. Does nothing where there are none. */
export async function keepPast(
  context: { readonly fs: FileSystem; readonly ids: Ids },
  folder: string,
  past: string,
  base: Moment,
  records: readonly EditRecord[],
): Promise<void> {
  const last = records[records.length - 1];
  if (last === undefined) return;
  const { fs } = context;
  if ((await fs.status(past)) === null) {
    await fs.makeFolder(past);
    await fs.syncFolder(folder);
  }
  const times = records.map(({ at }) => Math.max(0, Math.round(at)));
  const from = times.reduce((a, b) => Math.min(a, b));
  const to = times.reduce((a, b) => Math.max(a, b));
  const content: z.infer<typeof Packed> = {
    past: 1,
    base: base.rev,
    text: base.text,
    edits: records.map(({ at, ops }) => [at, ops]),
  };
  const line = checked(content);
  const bytes = await compress(line, {
    params: {
      // Above it a file shrinks by at most an eighth more, in twenty times the time, on a processor that edits wait for.
      [constants.BROTLI_PARAM_QUALITY]: 5,
      [constants.BROTLI_PARAM_LGWIN]: 22,
      [constants.BROTLI_PARAM_SIZE_HINT]: line.length,
    },
  });
  const name = `${twelve(base.rev)}-${twelve(last.rev)}-${from}-${to}.br`;
  await writeWhole(context, past, name, bytes, { mayReplace: true });
}

/** @throws StoreError `not-found`, `not-ours` */
export async function readPast(
  fs: FileSystem,
  past: string,
  file: string,
): Promise<{ readonly base: Moment; readonly records: readonly EditRecord[] }> {
  const bytes = await fs.read(`${past}/${file}`, LARGEST_PACKED);
  if (bytes === null) throw new StoreError("not-found", `${past}/${file} is gone.`);
  let unpacked: Uint8Array;
  try {
    unpacked = await decompress(bytes, { maxOutputLength: LARGEST_UNPACKED });
  } catch {
    throw new StoreError("not-ours", `${past}/${file} is damaged.`);
  }
  const found = Packed.safeParse(decodeLine(unpacked));
  if (!found.success) throw new StoreError("not-ours", `${past}/${file} is damaged.`);
  const { base, text, edits } = found.data;
  return {
    base: { text, rev: base },
    records: edits.map(([at, ops], index) => ({ rev: base + index + 1, opId: "", at, ops })),
  };
}
