/** The fader as the hand sees it: its shut end on the side where it is. */
import { faderOpen } from "./controls.ts";

export function FaderSlot({ right }: { right: boolean }) {
  const open = faderOpen.value === true;
  const atRight = open !== right;
  return (
    <div
      class={`slot ${right ? "shut-right" : "shut-left"}`}
      role="img"
      aria-label={open ? "Your fader is open" : "Your fader is closed"}
    >
      <div class={`thumb ${atRight ? "right" : "left"} ${open ? "open" : ""}`} />
    </div>
  );
}
