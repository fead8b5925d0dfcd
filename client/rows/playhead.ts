/**
 * The playhead: one upright line that lies over the rows of the section that is heard, moved by `transform` alone.
 * It is no part of the drawn tree, so that a frame costs no drawing.
 */
import { GUTTER } from "./metrics.ts";

/** A stack of rows that can show the playhead. */
export interface Stack {
  readonly element: HTMLElement;
  readonly width: number;
  readonly bar: number;
  readonly leadIn: number;
  readonly rowHeight: number;
  readonly below: number;
  readonly count: number;
}

const stacks = new Map<string, Stack>();
let line: HTMLElement | null = null;

export const showPlayheadIn = (section: string, stack: Stack): void => {
  stacks.set(section, stack);
};
export function forget(section: string, stack: Stack): void {
  if (stacks.get(section) === stack) stacks.delete(section);
}
/** Those that are drawn at the moment, by section. */
export const stacksNow = (): Iterable<readonly [string, Stack]> => stacks;
export const stackOf = (section: string): Stack | undefined => stacks.get(section);

/** Where the line stands, relative to its stack; null: before or after its rows. */
export function playheadPlace(stack: Omit<Stack, "element">, at: number): { x: number; y: number } | null {
  const row = Math.floor(at / stack.bar) + stack.leadIn;
  if (row < 0 || row >= stack.count) return null;
  const into = at - (row - stack.leadIn) * stack.bar;
  return { x: GUTTER + (into / stack.bar) * stack.width, y: row * stack.rowHeight };
}

/** @param at units from the section's start */
export function movePlayhead(section: string, at: number): void {
  const stack = stacks.get(section);
  const place = stack === undefined ? null : playheadPlace(stack, at);
  if (stack === undefined || place === null) {
    hidePlayhead();
    return;
  }
  if (line === null) {
    line = document.createElement("div");
    line.className = "playhead";
  }
  const height = `${stack.rowHeight - stack.below}px`;
  if (line.parentElement !== stack.element) stack.element.append(line);
  if (line.style.height !== height) line.style.height = height;
  line.style.transform = `translate(${place.x}px, ${place.y}px)`;
}

export function hidePlayhead(): void {
  line?.remove();
}
