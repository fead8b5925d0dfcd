/**
 * The audio thread: reads the blocks of the present play, opens the record's channel by the fader's, sets levels
 * without a jump, limits their sum as in a file, and says where it is.
 */
import { createLimiter } from "../../schemas/limiter.ts";
import { BALANCE, CHANNELS, SAMPLE_RATE } from "../../schemas/sound.ts";
import { type Block, Blocks } from "./blocks.ts";
import { FrameCount } from "./frameCount.ts";
import { HandGate } from "./handGate.ts";
import type { FromWorklet, Levels, ToWorklet } from "./workletMessages.ts";

declare const currentFrame: number;
declare const registerProcessor: (name: string, processor: unknown) => void;
declare class AudioWorkletProcessor {
  readonly port: MessagePort;
}

/** A report every 20 ms or so. */
const REPORT_EVERY = 1024;
/** Frames of the line along which the record's voice waits for the user's hand; more than the limiter's delay and a block. */
const RING = 256;
/** Levels follow within about 15 ms. */
const FOLLOW = 1 - Math.exp(-1 / (0.005 * SAMPLE_RATE));

class Player extends AudioWorkletProcessor {
  private play = 0;
  /** The latest play that was stopped. */
  private stopped = 0;
  private feed: MessagePort | null = null;
  private blocks = new Blocks();
  private running = false;
  /** Frames until the play begins. */
  private after = 0;
  private level = 0;
  private readonly want: Record<keyof Levels, number> = { hands: 1, others: 1, beat: 1, clicks: 1 };
  private readonly have: Record<keyof Levels, number> = { hands: 1, others: 1, beat: 1, clicks: 1 };
  private readonly limiter = createLimiter();
  private readonly scratch = CHANNELS.map(() => new Float32Array(128));
  private sinceReport = 0;
  private readonly count = new FrameCount();
  private readonly gate = new HandGate();
  private readonly gains = new Float32Array(128);
  /**
   * The record's voice as far as it is the user's to open, as late as the limiter is: their hand is heard behind the
   * limiter, so that its looking ahead adds nothing to the way from the press to the sound. The limiter sees it open.
   */
  private readonly mineLeft = new Float32Array(RING);
  private readonly mineRight = new Float32Array(RING);
  private readonly hand = new Float32Array(128);
  private ring = 0;

  constructor() {
    super();
    this.port.onmessage = ({ data }: MessageEvent<ToWorklet>) => this.receive(data);
  }

  private receive(message: ToWorklet): void {
    switch (message.type) {
      case "feed":
        this.feed = message.port;
        message.port.onmessage = ({ data }: MessageEvent<ToWorklet>) => this.receive(data);
        break;
      case "play":
        if (message.play <= this.stopped) break;
        this.play = message.play;
        this.blocks = new Blocks();
        this.running = true;
        this.after = message.after ?? 0;
        // Told at once, so that the page knows when its first frame is heard.
        this.sinceReport = REPORT_EVERY;
        break;
      case "stop":
        this.stopped = Math.max(this.stopped, message.play);
        if (this.play <= this.stopped) this.running = false;
        break;
      case "levels":
        Object.assign(this.want, message.levels);
        break;
      case "fader":
        this.gate.by = message.by;
        this.gate.ticks = message.ticks;
        break;
      case "mine":
        this.gate.open = message.open;
        this.report("mine", this.count.due ?? currentFrame);
        break;
      case "block":
        if (message.play === this.play) this.blocks.add(message.block as Block);
        break;
    }
  }

  process(_inputs: unknown, outputs: Float32Array[][]): boolean {
    const [left, right] = outputs[0] as [Float32Array, Float32Array];
    const length = left.length;
    const leftOut = this.count.block(currentFrame, length);
    const fading = !this.running && this.level > 1e-4;
    if (!this.running && !fading) return true;
    if (this.after > 0) {
      this.after -= length + leftOut;
      for (const channel of this.scratch) channel.fill(0);
    } else {
      this.blocks.passOver(leftOut);
      this.blocks.read(this.scratch, length);
    }
    const [
      scratchLeft,
      scratchRight,
      fader,
      othersLeft,
      othersRight,
      beatLeft,
      beatRight,
      clicksLeft,
      clicksRight,
    ] = this.scratch as [
      Float32Array,
      Float32Array,
      Float32Array,
      Float32Array,
      Float32Array,
      Float32Array,
      Float32Array,
      Float32Array,
      Float32Array,
    ];
    const { have, want, gate } = this;
    for (let at = 0; at < length; at++) {
      this.level += ((this.running ? 1 : 0) - this.level) * FOLLOW;
      have.hands += (want.hands - have.hands) * FOLLOW;
      have.others += (want.others - have.others) * FOLLOW;
      have.beat += (want.beat - have.beat) * FOLLOW;
      have.clicks += (want.clicks - have.clicks) * FOLLOW;
      const record = this.level * BALANCE.scratch * have.hands;
      const program = gate.gain(fader[at]!);
      const mine = record * gate.leftToMe;
      this.hand[at] = gate.hand;
      this.mineLeft[(this.ring + at) % RING] = mine * scratchLeft[at]!;
      this.mineRight[(this.ring + at) % RING] = mine * scratchRight[at]!;
      const hand = record * program + mine;
      const others = this.level * BALANCE.scratch * have.others;
      const beat = this.level * BALANCE.beat * have.beat;
      const clicks = this.level * BALANCE.clicks * have.clicks;
      const ticks = clicks * gate.ticking();
      left[at] =
        hand * scratchLeft[at]! +
        others * othersLeft[at]! +
        beat * beatLeft[at]! +
        clicks * clicksLeft[at]! +
        ticks;
      right[at] =
        hand * scratchRight[at]! +
        others * othersRight[at]! +
        beat * beatRight[at]! +
        clicks * clicksRight[at]! +
        ticks;
    }
    this.limiter.process(left, right, length, this.gains);
    for (let at = 0; at < length; at++) {
      const shut = (1 - this.hand[at]!) * this.gains[at]!;
      const from = (this.ring + at + RING - this.limiter.delay) % RING;
      left[at] = left[at]! - shut * this.mineLeft[from]!;
      right[at] = right[at]! - shut * this.mineRight[from]!;
    }
    this.ring = (this.ring + length) % RING;
    this.sinceReport += length;
    if (this.running && (this.sinceReport >= REPORT_EVERY || this.blocks.over)) {
      this.sinceReport = 0;
      this.report("at", this.count.due ?? currentFrame);
      if (this.blocks.over) this.running = false;
    }
    return true;
  }

  /** @param contextFrame of the context, at which the play's next frame is rendered */
  private report(type: FromWorklet["type"], contextFrame: number): void {
    const report: FromWorklet = {
      type,
      play: this.play,
      frame: this.blocks.position,
      contextFrame: contextFrame + Math.max(0, this.after) + this.limiter.delay,
      take: this.blocks.taken,
      since: this.blocks.fadeFrom,
      underruns: this.blocks.underruns,
      ahead: this.blocks.ahead,
      over: this.blocks.over,
    };
    this.port.postMessage(report);
    this.feed?.postMessage(report);
  }
}

registerProcessor("countercut-player", Player);
