/** How loud each channel is heard: as the user set it, unless it is muted, another is alone, or a drill leaves it out. */
import { effect, signal } from "@preact/signals";
import { channelLevels } from "../state/settings.ts";
import { setLevels } from "./output.ts";
import type { Levels } from "./workletMessages.ts";

export const muted = signal<ReadonlySet<keyof Levels>>(new Set());
export const alone = signal<keyof Levels | null>(null);
/** The channels that a drill lets be heard; null: all. */
export const heardChannels = signal<ReadonlySet<keyof Levels> | null>(null);
effect(() => {
  const heard = (channel: keyof Levels): number => {
    if (heardChannels.value?.has(channel) === false) return 0;
    if (alone.value !== null) return alone.value === channel ? channelLevels[channel].value : 0;
    return muted.value.has(channel) ? 0 : channelLevels[channel].value;
  };
  setLevels({
    hands: heard("hands"),
    others: heard("others"),
    beat: heard("beat"),
    clicks: heard("clicks"),
  });
});
