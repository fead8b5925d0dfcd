/** Which place in the music is heard at which frame of a play: kept from the heads of the blocks. */
import { type BlockHead, COUNTING_IN, RESTING } from "../../schemas/soundBlock.ts";

export interface Heard {
  /** Index in the routine's sections, and units from that section's start. */
  readonly section: number;
  readonly at: number;
  readonly countingIn: boolean;
  /** Between two rounds of a drill. */
  readonly resting: boolean;
  readonly rev: number;
}

/** Heads are kept for ten seconds: the picture is never that late. */
const KEEP = 480_000;

export class Course {
  private heads: BlockHead[] = [];
  /** First frame of the music itself, after the count-in; null: not known yet. */
  begins: number | null = null;

  clear(): void {
    this.heads = [];
    this.begins = null;
  }

  add(head: BlockHead): void {
    const end = head.first + head.frames;
    if (this.begins === null && (head.flags & COUNTING_IN) === 0) this.begins = head.first;
    // A higher take stands in place of whatever it overlaps; a lower one is old.
    const rivals = this.heads.filter((one) => one.first < end && one.first + one.frames > head.first);
    if (rivals.some(({ take }) => take > head.take)) return;
    this.heads = this.heads.filter(
      (one) =>
        one.first + one.frames > head.first - KEEP &&
        (one.take >= head.take ? one.first !== head.first : one.first < head.first),
    );
    this.heads.push(head);
    this.heads.sort((a, b) => a.first - b.first);
  }

  /** @returns null where nothing is known of the frame */
  at(frame: number): Heard | null {
    let low = 0;
    let high = this.heads.length - 1;
    while (low <= high) {
      const middle = (low + high) >> 1;
      const head = this.heads[middle] as BlockHead;
      if (frame < head.first) high = middle - 1;
      else if (frame >= head.first + head.frames && this.heads[middle + 1] !== undefined) low = middle + 1;
      else {
        const part = Math.min(1, (frame - head.first) / head.frames);
        return {
          section: head.section,
          at: head.at + (head.atEnd - head.at) * part,
          countingIn: (head.flags & COUNTING_IN) !== 0,
          resting: (head.flags & RESTING) !== 0,
          rev: head.rev,
        };
      }
    }
    return null;
  }
}
