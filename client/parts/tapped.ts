/** A press that was meant: let go where it went down, without having dragged anything or scrolled the page. */

/** Pixels within which a pointer that went down and up has not moved. */
const STILL = 6;

export function tapped(down: PointerEvent, tell: (up: PointerEvent) => void): void {
  const end = (event: PointerEvent): void => {
    if (event.pointerId !== down.pointerId) return;
    removeEventListener("pointerup", end);
    removeEventListener("pointercancel", end);
    const way = Math.hypot(event.clientX - down.clientX, event.clientY - down.clientY);
    if (event.type === "pointerup" && way <= STILL) tell(event);
  };
  addEventListener("pointerup", end);
  addEventListener("pointercancel", end);
}

/** A finger or pen that goes up or down scrolls: what it went down on is not dragged that way. */
export const scrolls = ({ pointerType }: PointerEvent): boolean => pointerType !== "mouse";
