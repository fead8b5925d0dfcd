/** The binary frames of the socket `/sound`: a block of sound behind its head. Without zod, like sound.ts. */
import { CHANNELS } from "./sound.ts";

/** Version of the messages of the socket `/sound`, these frames included. */
export const SOUND_WIRE = 1;

/** Bytes of a block's head; the channels of sound.ts follow, little-endian like everything in it. */
export const HEAD_BYTES = 64;
const MAGIC = 0x6363; // "cc"

/** Counting in: the place does not move yet. */
export const COUNTING_IN = 1;
/** The music leaps to the start of its loop at this block's first frame. */
export const LEAPT = 2;
/** The last block of the play. */
export const LAST = 4;
/** Between two rounds: nothing is heard, and the place does not move. */
export const RESTING = 8;

/**
 * offset  type     what
 *      0  uint16   0x6363
 *      2  uint16   SOUND_WIRE
 *      4  uint32   play
 *      8  uint32   take
 *     12  uint16   frames in this block
 *     14  uint16   flags
 *     16  float64  first frame of the block, of the play
 *     24  uint32   revision of the open routine that was rendered (0 for `alone`)
 *     28  uint32   index of the section that is heard, in the order of that revision
 *     32  float64  units from that section's start at the block's first frame (may be negative: lead-in)
 *     40  float64  the same at the block's end, not included; in between in proportion
 *     48  float64  frame of the routine (at the present speed) at the block's first frame
 *     56  8 bytes  zero
 */
export interface BlockHead {
  readonly play: number;
  readonly take: number;
  readonly frames: number;
  readonly flags: number;
  readonly first: number;
  readonly rev: number;
  readonly section: number;
  readonly at: number;
  readonly atEnd: number;
  readonly routineFrame: number;
}

export const blockBytes = (frames: number): number => HEAD_BYTES + CHANNELS.length * frames * 4;

export function writeHead(view: DataView, head: BlockHead): void {
  view.setUint16(0, MAGIC, true);
  view.setUint16(2, SOUND_WIRE, true);
  view.setUint32(4, head.play, true);
  view.setUint32(8, head.take, true);
  view.setUint16(12, head.frames, true);
  view.setUint16(14, head.flags, true);
  view.setFloat64(16, head.first, true);
  view.setUint32(24, head.rev, true);
  view.setUint32(28, head.section, true);
  view.setFloat64(32, head.at, true);
  view.setFloat64(40, head.atEnd, true);
  view.setFloat64(48, head.routineFrame, true);
}

/** @returns null where the bytes are no block of this version */
export function readHead(view: DataView): BlockHead | null {
  if (view.byteLength < HEAD_BYTES) return null;
  if (view.getUint16(0, true) !== MAGIC || view.getUint16(2, true) !== SOUND_WIRE) return null;
  const frames = view.getUint16(12, true);
  if (view.byteLength !== blockBytes(frames)) return null;
  return {
    play: view.getUint32(4, true),
    take: view.getUint32(8, true),
    frames,
    flags: view.getUint16(14, true),
    first: view.getFloat64(16, true),
    rev: view.getUint32(24, true),
    section: view.getUint32(28, true),
    at: view.getFloat64(32, true),
    atEnd: view.getFloat64(40, true),
    routineFrame: view.getFloat64(48, true),
  };
}

/** Channel `index` of a block, as a view of its bytes where they are aligned. */
export function channelOf(block: ArrayBuffer, frames: number, index: number): Float32Array {
  return new Float32Array(block, HEAD_BYTES + index * frames * 4, frames);
}
