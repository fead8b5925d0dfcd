/**
 * Hands what comes in, a tenth of a second at a time, to the page: the first channel, with the frame of the context at
 * which each piece begins.
 */
import { FrameCount } from "./frameCount.ts";

declare const currentFrame: number;
declare const registerProcessor: (name: string, processor: unknown) => void;
declare class AudioWorkletProcessor {
  readonly port: MessagePort;
}

export interface Captured {
  readonly frame: number;
  readonly samples: Float32Array;
}

/** 4,736 frames: 37 quanta of 128. */
const PIECE = 4_736;

class Capture extends AudioWorkletProcessor {
  private piece = new Float32Array(PIECE);
  private filled = 0;
  private readonly count = new FrameCount();

  process(inputs: Float32Array[][]): boolean {
    const input = inputs[0]?.[0];
    // Nothing is connected yet, or any more: silence, so that frames stay in step.
    const frames = input?.length ?? 128;
    for (let index = 0; index < frames; index++) this.piece[this.filled + index] = input?.[index] ?? 0;
    this.filled += frames;
    this.count.block(currentFrame, frames);
    if (this.filled + frames > PIECE) {
      const captured: Captured = {
        frame: (this.count.due ?? currentFrame) - this.filled,
        samples: this.piece.slice(0, this.filled),
      };
      this.port.postMessage(captured, [captured.samples.buffer]);
      this.filled = 0;
    }
    return true;
  }
}

registerProcessor("countercut-capture", Capture);
