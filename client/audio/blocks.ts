/**
 * The blocks of one play that wait to be heard, and the reading of them, frame by frame. Runs in the audio thread:
 * reading allocates nothing.
 *
 * Frames are counted from the start of the play, so a late block never adds delay: where frames are missing, silence
 * is given and the count goes on, as music does behind a shut door. Blocks of a higher take stand in place of earlier
 * ones from their first frame on, as soon as enough of them are in hand to go on with; the reading goes over to them in
 * a crossfade, so that no edit clicks, and no edit that arrives piece by piece leaves a hole.
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
/** Frames of a new take that must be in hand before it is gone over to: 80 ms. Until then the old one goes on. */
export const ENOUGH = 3_840;

export class Blocks {
  private now: Block[] = [];
  private before: Block[] = [];
  /** Of a higher take, while they are too few to go over to. */
  private next: Block[] = [];
  /** The frame from which on `now` is heard. */
  fadeFrom = 0;
  /** The highest that came. */
  private take = 0;
  /** That of `now`. */
  taken = 0;
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
    if (block.take > this.take) {
      // One that has not begun by now is passed over.
      this.next.length = 0;
      if (this.take === 0) this.taken = block.take;
      this.take = block.take;
    }
    const into = this.take === this.taken ? this.now : this.next;
    const at = into.findIndex(({ first }) => first >= block.first);
    if (at < 0) into.push(block);
    else into.splice(at, into[at]?.first === block.first ? 1 : 0, block);
    if (this.next.length > 0 && this.enough()) this.goOver();
  }

  private enough(): boolean {
    const from = Math.max(this.position, (this.next[0] as Block).first);
    const to = this.endOf(this.next, from);
    return to - from >= ENOUGH || (to > from && this.find(this.next, to - 1)?.last === true);
  }

  private goOver(): void {
    // Until the new take begins the old one goes on; and where that had not begun itself, the one before it.
    const unbegun = this.position < this.fadeFrom ? this.before : [];
    const kept = unbegun
      .filter(({ first }) => first < this.fadeFrom)
      .map((old) => ({ ...old, frames: Math.min(old.frames, this.fadeFrom - old.first) }));
    this.before = [...kept, ...this.now];
    this.now = this.next;
    this.next = [];
    this.taken = this.take;
    this.fadeFrom = Math.max((this.now[0] as Block).first, this.position);
  }

  /** Frames in hand without a gap, from the position on. */
  get ahead(): number {
    const end = this.position < this.fadeFrom ? this.endOf(this.before, this.position) : this.position;
    return this.endOf(this.now, end) - this.position;
  }

  /** The first frame from `frame` on that is not in the list. */
  private endOf(list: readonly Block[], frame: number): number {
    let end = frame;
    for (let block = this.find(list, end); block !== undefined; block = this.find(list, end))
      end = block.first + block.frames;
    return end;
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
      let source = wasBefore ? old : current;
      if (source === undefined && this.find(this.next, frame) !== undefined) {
        // Nothing else is left: a few of the next are better than none.
        this.goOver();
        current = this.find(this.now, frame);
        old = undefined;
        source = current;
      }
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
    this.forget(this.now);
    this.forget(this.next);
    if (this.before.length > 0 && this.position >= this.fadeFrom + CROSSFADE) this.before.length = 0;
    return heard;
  }

  /** Frames that the output did not ask for, as when it goes over to another device: the music went on meanwhile. */
  passOver(frames: number): void {
    if (!this.begun || this.over) return;
    this.position += frames;
    this.forget(this.now);
    this.forget(this.next);
  }

  private forget(list: Block[]): void {
    while (list.length > 0 && (list[0] as Block).first + (list[0] as Block).frames <= this.position)
      list.shift();
  }
}
