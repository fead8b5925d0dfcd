/** The picture follows the sound: every animation frame the playhead goes to what is heard. */
import { effect, signal } from "@preact/signals";
import { hidePlayhead, movePlayhead, type Stack, stackOf } from "../rows/playhead.ts";
import { opened, past } from "../state/shown.ts";
import { heardNow } from "./heardNow.ts";
import { playing } from "./playing.ts";
import { playsAlone } from "./material.ts";

export interface HeardPlace {
  readonly section: string;
  readonly bar: number;
  /** Beat of the metre, from 1. */
  readonly beat: number;
  readonly countingIn: boolean;
}
/** Changes with each beat, not with each frame. */
export const heardPlace = signal<HeardPlace | null>(null);
/** The rows roll with the playhead. */
export const followRows = signal(true);
/** The stack of rows for what plays by itself. */
export const ALONE = "·alone";

function frame(): void {
  if (!playing.value) {
    hidePlayhead();
    heardPlace.value = null;
    return;
  }
  requestAnimationFrame(frame);
  const heard = heardNow();
  if (heard === null) return;
  const section = (past.value?.opened ?? opened.value)?.routine.sections[heard.section];
  const id = playsAlone.value ? ALONE : (section?.id ?? "");
  const stack = stackOf(id);
  if (heard.countingIn || heard.resting) hidePlayhead();
  else movePlayhead(id, heard.at);
  const length = stack?.bar ?? opened.value?.performance.sections[heard.section]?.performance.bar;
  if (length === undefined) return;
  const bar = Math.floor(heard.at / length);
  const upper = section === undefined ? 4 : Number(section.meter.split("/")[0]);
  const beat = Math.floor(((heard.at - bar * length) / length) * upper) + 1;
  const now = heardPlace.value;
  if (now?.section === id && now.bar === bar + 1 && now.beat === beat && now.countingIn === heard.countingIn)
    return;
  const newRow = now?.section !== id || now.bar !== bar + 1;
  heardPlace.value = { section: id, bar: bar + 1, beat, countingIn: heard.countingIn };
  if (!newRow) return;
  if (stack !== undefined) keepInSight(stack, heard.at);
  // A section far from the window is not drawn: it is brought there first.
  else if (rolls()) document.getElementById(`section-${id}`)?.scrollIntoView();
}

/** Brings the row of a place into sight, where the hands are off the page. @param at units from the section's start */
export function keepInSight(stack: Stack, at: number): void {
  const row = Math.floor(at / stack.bar) + stack.leadIn;
  if (rolls() && row < stack.count) roll(stack.element, row * stack.rowHeight, stack.rowHeight);
}
const rolls = (): boolean => followRows.value && performance.now() - touched >= HANDS_OFF;

/** Milliseconds after the hands were last on the page in which it does not roll away from under them. */
const HANDS_OFF = 4_000;
let touched = -HANDS_OFF;
if (typeof addEventListener === "function") {
  for (const kind of ["pointerdown", "wheel", "keydown"])
    addEventListener(
      kind,
      (event) => {
        const playing = event instanceof KeyboardEvent && event.key === " ";
        if (!playing && !(event.target instanceof Element && event.target.closest(".foot") !== null))
          touched = performance.now();
      },
      { passive: true, capture: true },
    );
}

/** Keeps the row that is heard, and the one that comes next, in sight. */
function roll(element: HTMLElement, y: number, height: number): void {
  const still = matchMedia("(prefers-reduced-motion: reduce)").matches;
  const behavior = still ? "auto" : "smooth";
  // Rows that stand in a box of their own roll within it, and leave the page where it is.
  const box = element.closest<HTMLElement>("[data-rolls]");
  if (box !== null) {
    if (y < box.scrollTop || y + 2 * height > box.scrollTop + box.clientHeight)
      box.scrollTo({ top: y, behavior });
    return;
  }
  const top = element.getBoundingClientRect().top + y;
  const head = 70;
  const bottom = innerHeight - 100;
  if (top >= head && top + 2 * height <= bottom) return;
  scrollTo({ top: scrollY + top - head - 20, behavior });
}

effect(() => {
  if (playing.value) requestAnimationFrame(frame);
});
