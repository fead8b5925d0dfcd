/**
 * Who moves the fader of the record's voice: the program, nobody (it stands open), or the user, whose hand is heard
 * from the next frames on. Runs in the audio thread, a frame at a time; allocates nothing.
 */

export type FaderBy = "program" | "open" | "mine";

/** Frames from shut to open: 1.5 ms, as fast as a cut can be without being a click of its own. */
export const CUT = 72;

/** The tick that stands for an opening of the program's fader: 20 ms of 2,400 Hz, dying away. */
const TICK = Float32Array.from({ length: 960 }, (_, frame) => {
  const time = frame / 48_000;
  return 0.5 * Math.min(1, frame / 12) * Math.exp(-time / 0.004) * Math.sin(2 * Math.PI * 2_400 * time);
});

export class HandGate {
  by: FaderBy = "program";
  /** The program's openings are heard as ticks. */
  ticks = false;
  /** Where the user's fader stands. */
  open = false;
  private mine = 0;
  private share = 1;
  private before = 0;
  private tick = TICK.length;

  /**
   * Goes on by a frame.
   * @param program the program's own fader, 0 to 1. @returns the gain of the record's voice that is the program's part
   */
  gain(program: number): number {
    if (program >= 0.5 && this.before < 0.5) this.tick = 0;
    this.before = program;
    const open = this.open || this.by === "open";
    this.mine = Math.min(1, Math.max(0, this.mine + (open ? 1 : -1) / CUT));
    // Going over from the program's hand to the user's, or back, jumps no more than a cut does.
    this.share = Math.min(1, Math.max(0, this.share + (this.by === "program" ? 1 : -1) / CUT));
    return this.share * program;
  }

  /** How much of the record's voice is left to the user's hand, 0 or 1 but for a moment of going over. */
  get leftToMe(): number {
    return 1 - this.share;
  }
  /** Where the user's hand has it, 0 to 1. */
  get hand(): number {
    return this.mine;
  }

  /** The tick at this frame; 0 where there is none. To be asked once a frame, after `gain`. */
  ticking(): number {
    if (this.tick >= TICK.length) return 0;
    const value = TICK[this.tick] as number;
    this.tick += 1;
    return this.ticks ? value : 0;
  }
}
