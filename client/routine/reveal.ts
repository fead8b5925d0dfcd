/** Brings a place of the routine into sight: its section first, which is drawn only then, and its rows after that. */
import { stackOf } from "../rows/playhead.ts";

/** Pixels of the window between the head and what lies over its foot: both differ from screen to screen. */
function inSight(): { top: number; bottom: number } {
  const box = (what: string) => document.querySelector(what)?.getBoundingClientRect();
  const over = [".panel", ".foot"].map((what) => box(what)?.top ?? innerHeight);
  return { top: Math.max(0, box(".head")?.bottom ?? 0), bottom: Math.min(innerHeight, ...over) };
}

/**
 * @param at units from the section's start
 * @param until units, where what is to be seen ends; of what would take more than half of the room, its beginning is
 */
export function reveal(section: string, at = 0, until = at + 1, tries = 12): void {
  const stack = stackOf(section);
  if (stack === undefined || !stack.element.isConnected) {
    document.getElementById(`section-${section}`)?.scrollIntoView({ block: "start" });
    if (tries > 0) requestAnimationFrame(() => reveal(section, at, until, tries - 1));
    return;
  }
  const row = Math.floor(at / stack.bar) + stack.leadIn;
  const last = Math.min(stack.count, Math.max(row + 1, Math.ceil(until / stack.bar) + stack.leadIn));
  const top = stack.element.getBoundingClientRect().top + row * stack.rowHeight;
  const height = (last - row) * stack.rowHeight;
  const sight = inSight();
  const room = sight.bottom - sight.top;
  const seen = height <= room / 2 ? height : stack.rowHeight;
  if (top >= sight.top && top + seen <= sight.bottom) return;
  // What comes before it is seen too, where there is room.
  const above = Math.max(0, Math.min((room - seen) / 2, room / 3));
  scrollTo({ top: scrollY + top - sight.top - above, behavior: "instant" });
}
