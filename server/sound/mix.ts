/** From separate channels to what is heard. */
import { BALANCE } from "../../schemas/sound.ts";
import type { Channels, Stereo } from "./render.ts";

/** Linear gains. */
export interface Levels {
  readonly scratch: number;
  readonly beat: number;
  readonly clicks: number;
}

/** As the page has them; clicks are off unless asked for. */
export const DEFAULT_LEVELS: Levels = { ...BALANCE, clicks: 0 };

/** Writes the sum of `frames` frames into `out`: each record after its fader, the beat and the clicks. */
export function mix(
  channels: Channels,
  { scratch, beat, clicks }: Levels,
  frames: number,
  out: Stereo,
): void {
  const { fader } = channels;
  for (const side of [0, 1] as const) {
    const target = out[side];
    const record = channels.scratch[side];
    const others = channels.others[side];
    const drums = channels.beat[side];
    const click = channels.clicks[side];
    for (let i = 0; i < frames; i++) {
      target[i] = scratch * (record[i]! * fader[i]! + others[i]!) + beat * drums[i]! + clicks * click[i]!;
    }
  }
}
