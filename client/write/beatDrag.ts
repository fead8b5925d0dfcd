/** Dragging a hit of a beat: along to another step, up and down for its strength. */
import { scrolls } from "../parts/tapped.ts";
import type { Hit } from "../../schemas/routine.ts";
import { changedTo, type Strike } from "./beatHits.ts";

const SLACK = 5;
/** Strength for a pixel. */
const STRENGTH = 1.5;

/**
 * @param step how many steps so many pixels are, on the grid
 * @param show the draft, and at last `null`; @param done with what it came to, or with null where nothing was dragged
 */
export function dragHit(
  event: PointerEvent,
  hits: readonly Hit[],
  strike: Strike,
  step: (pixels: number) => number,
  steps: number,
  show: (hits: readonly Hit[] | null) => void,
  done: (hits: readonly Hit[] | null) => void,
): void {
  let latest: readonly Hit[] | null = null;
  let along: boolean | null = null;
  const move = (pointer: PointerEvent): void => {
    const right = pointer.clientX - event.clientX;
    const up = event.clientY - pointer.clientY;
    if (along === null && Math.max(Math.abs(right), Math.abs(up)) < SLACK) return;
    if (along === null && scrolls(event) && Math.abs(up) >= Math.abs(right)) return;
    along ??= Math.abs(right) > Math.abs(up);
    const to = along
      ? { ...strike, at: Math.min(steps - 1, Math.max(0, strike.at + step(right))) }
      : { ...strike, velocity: strike.velocity + up * STRENGTH };
    latest = changedTo(hits, strike, to);
    show(latest);
  };
  const over = (): void => {
    removeEventListener("pointermove", move);
    removeEventListener("pointerup", end);
    removeEventListener("pointercancel", cancel);
    show(null);
  };
  const end = (): void => {
    over();
    done(latest);
  };
  const cancel = over;
  addEventListener("pointermove", move);
  addEventListener("pointerup", end);
  addEventListener("pointercancel", cancel);
}
