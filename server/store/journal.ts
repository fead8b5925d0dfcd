/**
 * The journal's lines. A line is eight hexadecimal digits of the CRC-32 of the rest (IEEE 802.3, as in zip), a
 * space, JSON without line breaks, and a line feed.
 *
 * The first line holds the text that the journal starts from, so that a journal alone is a whole routine. Every later
 * line is one write, flushed before the next begins: a loss of power can tear only the last line. Edits that waited
 * together stand in one line for the same reason.
 *
 * A line with `mark` is written before the routine file is replaced, with the hash that the file is about to have,
 * and `kept` after: by them a file on disk is known as ours, and its revision told, without a word of ours in it.
 */
import { crc32 } from "node:zlib";
import { z } from "zod";
import type { EditRecord, Moment } from "./interfaces.ts";
import { hashOf } from "./hash.ts";

const rev = z.int().min(0);
const Head = z.strictObject({
  journal: z.literal(1),
  epoch: z.string(),
  base: rev,
  text: z.string(),
  /** Ids of edits before `base`, so that one sent again is known. */
  recent: z.array(z.tuple([z.string(), rev])),
});
const Line = z.strictObject({
  /** The file is about to be replaced by the text of this revision, which has this hash. */
  mark: z.tuple([rev, z.string()]).optional(),
  /** The file was replaced for good by the text of this revision. */
  kept: rev.optional(),
  edits: z.array(z.strictObject({ rev, id: z.string(), at: z.number(), ops: z.unknown() })).optional(),
});
export type Head = z.infer<typeof Head>;
export type Line = z.infer<typeof Line>;

export interface Journal {
  readonly epoch: string;
  readonly base: Moment;
  /** Every edit, from `base.rev + 1`, without a gap. */
  readonly records: readonly EditRecord[];
  readonly recent: ReadonlyMap<string, number>;
  /** Hashes of what the routine file may be, with the revision of each. */
  readonly ours: ReadonlyMap<string, number>;
  /** Bytes that hold whole lines; what comes after is a torn last line. */
  readonly whole: number;
  readonly torn: number;
}

export const toEntry = ({ rev, opId, at, ops }: EditRecord) => ({ rev, id: opId, at, ops });
const toRecord = ({ rev, id, at, ops }: NonNullable<Line["edits"]>[number]): EditRecord => ({
  rev,
  opId: id,
  at,
  ops,
});

export const encodeLine = (content: Head | Line): Buffer =>
  Buffer.concat([checked(content), Buffer.of(FEED)]);

/** JSON after its checksum. */
export function checked(content: unknown): Buffer {
  const json = Buffer.from(JSON.stringify(content));
  return Buffer.concat([Buffer.from(`${checksum(json)} `), json]);
}

const checksum = (bytes: Uint8Array): string => crc32(bytes).toString(16).padStart(8, "0");
const FEED = 10;
const PREFIX = 9;

/** The JSON of one line without its line feed, or undefined where the checksum does not fit. */
export function decodeLine(line: Uint8Array): unknown {
  if (line.length <= PREFIX || line[PREFIX - 1] !== 0x20) return undefined;
  const json = line.subarray(PREFIX);
  if (Buffer.from(line.subarray(0, PREFIX - 1)).toString("latin1") !== checksum(json)) return undefined;
  try {
    return JSON.parse(new TextDecoder("utf-8", { fatal: true }).decode(json)) as unknown;
  } catch {
    return undefined;
  }
}

/** Reads a journal. @returns a sentence where it is damaged in more than a torn last line */
export function parseJournal(bytes: Uint8Array): Journal | string {
  const lines: Uint8Array[] = [];
  let whole = 0;
  for (let end = bytes.indexOf(FEED); end !== -1; end = bytes.indexOf(FEED, whole)) {
    lines.push(bytes.subarray(whole, end));
    whole = end + 1;
  }
  const [first, ...rest] = lines;
  const head = Head.safeParse(first === undefined ? undefined : decodeLine(first));
  if (!head.success) return "its first line is damaged";

  const { epoch, base, text } = head.data;
  const recent = new Map(head.data.recent);
  const records: EditRecord[] = [];
  let ours = new Map([[hashOf(text), base]]);
  let torn = bytes.length - whole;
  for (const [index, line] of rest.entries()) {
    const found = Line.safeParse(decodeLine(line));
    if (!found.success) {
      // A torn last line may happen to end with a line feed.
      if (index < rest.length - 1 || torn > 0) return `its line ${index + 2} of ${lines.length} is damaged`;
      torn = line.length + 1;
      whole -= torn;
      break;
    }
    const { mark, kept, edits = [] } = found.data;
    if (kept !== undefined) ours = new Map([...ours].filter(([, rev]) => rev === kept));
    if (mark !== undefined) ours.set(mark[1], mark[0]);
    for (const edit of edits) {
      const next = base + records.length + 1;
      if (edit.rev !== next) return `edit ${next} is missing: edit ${edit.rev} comes in its place`;
      records.push(toRecord(edit));
      recent.set(edit.id, edit.rev);
    }
  }
  const last = base + records.length;
  for (const rev of ours.values())
    if (rev > last) return `the file was written at edit ${rev}, which is missing`;
  return { epoch, base: { text, rev: base }, records, recent, ours, whole, torn };
}
