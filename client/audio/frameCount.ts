/**
 * Frames of the context by the audio thread's own count. On a busy machine the browser's `currentFrame` stands still for
 * a few blocks, which are heard all the same, and is then right again; where the output leaves frames out, it goes on.
 */
export class FrameCount {
  /** The frame that comes next; null: none came yet. */
  due: number | null = null;

  /**
   * Counts a block of so many frames.
   * @param said the `currentFrame` at which it is said to begin
   * @returns frames that were left out before it
   */
  block(said: number, frames: number): number {
    const begins = Math.max(said, this.due ?? said);
    const leftOut = begins - (this.due ?? begins);
    this.due = begins + frames;
    return leftOut;
  }
}
