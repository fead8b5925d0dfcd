/**
 * A window's strands all together, as they go out while it is played: messages at ticks so fine that a tick is a few
 * hundredths of a millisecond, with MIDI Clock (24 a quarter) among them.
 */
import type { Units } from "../../schemas/units.ts";
import { noHands } from "./content.ts";
import { Events } from "./events.ts";
import { type Making, remembered, ticksFrom } from "./making.ts";
import { addStrand } from "./strands.ts";
import type { ClipWindow } from "./windows.ts";

/** A multiple of 24 and of 8 that fits in 15 bits. */
export const LIVE_PPQ = 15_360;
/** MIDI Clock: messages a quarter. */
export const CLOCKS = 24;

export interface LiveWindow {
  /** Ticks from the window's start, in order. */
  readonly ticks: Float64Array;
  /** Each message of three bytes as one number, the status lowest. */
  readonly messages: Int32Array;
}

/** @param making at LIVE_PPQ */
export function liveWindow(making: Making, window: ClipWindow): LiveWindow {
  const name = `live ${JSON.stringify(making.encoding)} ${making.voices.map(({ word }) => word).join(" ")}`;
  return remembered(window.kept, name, () => written(making, window));
}

function written(making: Making, window: ClipWindow): LiveWindow {
  const { routine, encoding, voices, ppq } = making;
  const { from, content, index } = window;
  const length = (window.to - from) as Units;
  const clock = ticksFrom(making.clock, from);
  const end = clock.tick(length, "straight") - clock.tick(0, "straight");
  const events = new Events();
  for (let tick = 0; tick < end; tick += ppq / CLOCKS) events.clock(tick);
  for (const { strand, player } of voices) {
    addStrand(
      strand,
      {
        encoding,
        clock,
        window: { from: 0, to: length },
        meters: [{ from: 0, to: length, meter: routine.sections[Math.max(0, index)]?.meter ?? "4/4" }],
        player: content.players.get(player) ?? noHands(player),
        beat: content.beat,
        curves: () => [{ at: 0, curve: making.curve(window, player) }],
      },
      events,
    );
  }
  const ticks = new Float64Array(events.size);
  const messages = new Int32Array(events.size);
  let at = 0;
  events.each((tick, message) => {
    ticks[at] = tick;
    messages[at++] = message;
  });
  return { ticks, messages };
}
