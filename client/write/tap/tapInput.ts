/** Taps from keys, pads and MIDI, each at the place in the music that was heard when it came. */
import { signal } from "@preact/signals";
import { useLayoutEffect } from "preact/hooks";
import type { FaderState, Move } from "../../../schemas/routine.ts";
import { UNITS_PER_QUARTER } from "../../../schemas/units.ts";
import { onMidi } from "../../audio/midiIn.ts";
import { heardNow } from "../../audio/heardNow.ts";
import { speed } from "../../audio/transport.ts";
import { KIND_KEYS } from "../phraseActions.ts";
import type { Hand } from "../phrase.ts";
import { countedOn, type Tap } from "./taps.ts";

export const taps = signal<readonly Tap[]>([]);
/** A tap came while nothing was heard. */
export const tooEarly = signal(false);

export interface Loop {
  /** Units. */
  readonly length: number;
  /** Quarters a minute, at full speed. */
  readonly tempo: number;
}
/** The tap before, by the clock of the page. */
let last: { readonly at: number; readonly time: number } | null = null;
/** What is held down: index of its tap, by the name of the key, pad or note. */
const down = new Map<string, number>();

/** The place in the music that was heard at a time of `performance.now()`, rounds counted on; null: none was. */
function placeAt(time: number, loop: Loop): number | null {
  const heard = heardNow(time);
  if (heard === null || heard.countingIn) return null;
  const rate = (loop.tempo * speed.value * UNITS_PER_QUARTER) / 60_000;
  return last === null ? heard.at : countedOn(heard.at, loop.length, last.at + (time - last.time) * rate);
}

export function press(what: string, name: Tap["name"], time: number, loop: Loop): void {
  const at = placeAt(time, loop);
  tooEarly.value = at === null;
  if (at === null) return;
  last = { at, time };
  down.set(what, taps.value.length);
  taps.value = [...taps.value, { at, until: null, name }];
}
export function letUp(what: string, time: number, loop: Loop): void {
  const index = down.get(what);
  const until = placeAt(time, loop);
  down.delete(what);
  if (index === undefined || until === null) return;
  taps.value = taps.value.map((tap, one) => (one === index ? { ...tap, until } : tap));
}
export function forget(): void {
  taps.value = [];
  tooEarly.value = false;
  last = null;
  down.clear();
}
export const forgetLast = (): void => {
  taps.value = taps.value.slice(0, -1);
  down.clear();
};

const nameOf = (key: string, hand: Hand): Move | FaderState | null => {
  const [name] = KIND_KEYS.find(([, one]) => one === key) ?? [];
  const ofRecord = name === "forward" || name === "back" || name === "hold";
  return name !== undefined && ofRecord === (hand === "record") ? name : null;
};

/**
 * Letters and figures tap while the panel is open; other keys do what they always do.
 * @param keys what Enter, Escape and Backspace do
 */
export function useTaps(hand: Hand, loop: Loop, keys: Readonly<Record<string, () => void>>): void {
  // Before anything is painted: a key that comes at once is a tap already.
  useLayoutEffect(() => {
    const tapKey = (event: KeyboardEvent): string | null => {
      const typing = event.target instanceof HTMLElement && event.target.matches("input, select, textarea");
      if (typing || event.ctrlKey || event.metaKey || event.altKey) return null;
      return /^[\p{L}\p{N}]$/u.test(event.key) ? event.key.toLowerCase() : null;
    };
    const pressed = (event: KeyboardEvent): void => {
      const act = keys[event.key];
      const onButton = event.key === "Enter" && event.target instanceof HTMLButtonElement;
      const typing = event.target instanceof HTMLElement && event.target.matches("input, select, textarea");
      const key = tapKey(event);
      if (key === null && (act === undefined || onButton || (typing && event.key !== "Escape"))) return;
      event.preventDefault();
      event.stopPropagation();
      if (event.repeat) return;
      if (key !== null) press(event.code, nameOf(key, hand), event.timeStamp, loop);
      else act?.();
    };
    const released = (event: KeyboardEvent): void => letUp(event.code, event.timeStamp, loop);
    addEventListener("keydown", pressed, true);
    addEventListener("keyup", released, true);
    const silence = onMidi(({ kind, number, channel, value, time }) => {
      if (kind !== "note") return;
      const what = `note ${channel} ${number}`;
      if (value > 0) press(what, null, time, loop);
      else letUp(what, time, loop);
    });
    return () => {
      removeEventListener("keydown", pressed, true);
      removeEventListener("keyup", released, true);
      silence();
    };
  });
}
