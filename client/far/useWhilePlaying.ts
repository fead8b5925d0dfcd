/** Does something again and again while music is played, such as telling a window that follows. */
import { useEffect } from "preact/hooks";

/** Milliseconds. */
const COVERED = 100;

export function useWhilePlaying(plays: boolean, act: () => void): void {
  useEffect(() => {
    if (!plays) return;
    let frame = requestAnimationFrame(function look() {
      act();
      frame = requestAnimationFrame(look);
    });
    // A window that is covered gets no frames, and still leads the one that follows on another screen.
    const covered = setInterval(act, COVERED);
    return () => {
      cancelAnimationFrame(frame);
      clearInterval(covered);
    };
  }, [plays]);
}
