/** Brings a place of the routine into sight: its section first, which is drawn only then, and its row after that. */
import { stackOf } from "../rows/playhead.ts";

/** Pixels that the head and the foot of the page cover. */
const HEAD = 70;
const FOOT = 190;

/** @param at units from the section's start */
export function reveal(section: string, at = 0, tries = 12): void {
  const stack = stackOf(section);
  if (stack === undefined || !stack.element.isConnected) {
    document.getElementById(`section-${section}`)?.scrollIntoView({ block: "start" });
    if (tries > 0) requestAnimationFrame(() => reveal(section, at, tries - 1));
    return;
  }
  const row = Math.floor(at / stack.bar) + stack.leadIn;
  const top = stack.element.getBoundingClientRect().top + row * stack.rowHeight;
  if (top >= HEAD && top + stack.rowHeight <= innerHeight - FOOT) return;
  scrollTo({ top: scrollY + top - Math.max(HEAD + 40, innerHeight / 3), behavior: "instant" });
}
