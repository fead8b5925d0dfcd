/** The user's fader under a finger, where there is no key to hold. */
import { useEffect } from "preact/hooks";
import { faderOpen, holdFader } from "./controls.ts";

export function FaderPad() {
  const letGo = (event: PointerEvent): void => holdFader(false, event.timeStamp);
  // It may go while it is held.
  useEffect(() => () => holdFader(false, performance.now()), []);
  return (
    <button
      type="button"
      class="pad"
      aria-pressed={faderOpen.value === true}
      onPointerDown={(event) => {
        event.currentTarget.setPointerCapture(event.pointerId);
        holdFader(true, event.timeStamp);
      }}
      onPointerUp={letGo}
      onPointerCancel={letGo}
      onContextMenu={(event) => event.preventDefault()}
    >
      Your fader
    </button>
  );
}
