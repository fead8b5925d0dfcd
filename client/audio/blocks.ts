/**
 * The blocks of one play that wait to be heard, and the reading of them, frame by frame. Runs in the audio thread:
 * reading allocates nothing.
 *
 * Frames are counted from the start of the play, so a late block never adds delay: where frames are missing, silence
 * is given and the count goes on, as music does behind a shut door. Blocks of a higher take stand in place of earlier
 * ones from their first frame on; the reading goes over to them in a crossfade, so that no edit clicks.
 */

export interface Block {
  readonly take: number;
  /** First frame, of the play; the end is not included. */
  readonly first: number;
  readonly frames: number;
  readonly last: boolean;
  /** Planar, in the order of the wire. */
  readonly channels: readonly Float32Array[];
}

/** 5 ms at 48,000 frames a second. */
export const CROSSFADE = 240;

export class Blocks {
  private now: Block[] = [];
  private before: Block[] = [];
  private fadeFrom = 0;
  private take = 0;
  /** The next frame that is heard. */
  position = 0;
  underruns = 0;
  private begun = false;
  private starved = true;
  /** The last frame was read: the play is over. */
  over = false;

  add(block: Block): void {
    if (block.take < this.take) return;
    if (block.first + block.frames <= this.position) {
      if (block.last) this.over = true;
      return;
    }
    if (block.take > this.take && (this.now.length > 0 || this.take > 0)) {
      // Until the new take begins the old one goes on; and where that had not begun itself, the one before it.
      const unbegun = this.before.filter(
        ({ first }) => first < this.fadeFrom && this.position < this.fadeFrom,
      );
      const kept = unbegun.map((old) => ({
        ...old,
        frames: Math.min(old.frames, this.fadeFrom - old.first),
      }));
      this.before = [...kept, ...this.now];
      this.now = [];
      this.fadeFrom = Math.max(block.first, this.position);
    }
    this.take = block.take;
    this.now = this.now.filter(({ first }) => first !== block.first);
    this.now.push(block);
    this.now.sort((a, b) => a.first - b.first);
  }

  /** Frames in hand without a gap, from the position on. */
  get ahead(): number {
    let end = this.position;
    for (let frame = this.find(this.now, end) ?? this.find(this.before, end); frame !== undefined; ) {
      end = frame.first + frame.frames;
      frame = this.find(this.now, end);
    }
    return end - this.position;
  }

  private find(list: readonly Block[], frame: number): Block | undefined {
    for (let index = 0; index < list.length; index++) {
      const block = list[index] as Block;
      if (frame >= block.first && frame < block.first + block.frames) return block;
    }
    return undefined;
  }

  /**
   * Fills `out` (one array a channel, all equally long) with the next frames; silence where there are none.
   * @returns frames that were heard
   */
  read(out: readonly Float32Array[], length: number): number {
    let heard = 0;
    let current: Block | undefined;
    let old: Block | undefined;
    for (let at = 0; at < length; at++) {
      const frame = this.position;
      if (current === undefined || frame < current.first || frame >= current.first + current.frames)
        current = this.find(this.now, frame);
      const fading = this.before.length > 0 && frame < this.fadeFrom + CROSSFADE;
      if (fading && (old === undefined || frame < old.first || frame >= old.first + old.frames))
        old = this.find(this.before, frame);
      const wasBefore = fading && frame < this.fadeFrom;
      const source = wasBefore ? old : current;
      if (source === undefined) {
        for (let channel = 0; channel < out.length; channel++) (out[channel] as Float32Array)[at] = 0;
        if (!this.starved && !this.over) this.underruns += 1;
        this.starved = true;
        if (this.begun && !this.over) this.position += 1;
        continue;
      }
      this.starved = false;
      this.begun = true;
      const into = fading && !wasBefore && old !== undefined ? (frame - this.fadeFrom) / CROSSFADE : 1;
      for (let channel = 0; channel < out.length; channel++) {
        let value = (source.channels[channel] as Float32Array)[frame - source.first] as number;
        if (into < 1 && old !== undefined)
          value =
            value * into +
            ((old.channels[channel] as Float32Array)[frame - old.first] as number) * (1 - into);
        (out[channel] as Float32Array)[at] = value;
      }
      this.position += 1;
      heard += 1;
      if (source.last && this.position >= source.first + source.frames) this.over = true;
    }
    while (
      this.now.length > 0 &&
      (this.now[0] as Block).first + (this.now[0] as Block).frames <= this.position
    )
      this.now.shift();
    if (this.before.length > 0 && this.position >= this.fadeFrom + CROSSFADE) this.before.length = 0;
    return heard;
  }
}
