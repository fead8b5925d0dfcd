/** Keeps the screen awake while a component is shown, where the browser can (Screen Wake Lock, W3C). */
import { signal } from "@preact/signals";
import { useEffect } from "preact/hooks";

/** "no": the browser cannot, or will not (a low battery). */
export const awake = signal<"yes" | "no" | "off">("off");

export function useAwake(): void {
  useEffect(() => {
    let lock: WakeLockSentinel | null = null;
    let asking = false;
    let gone = false;
    const ask = async (): Promise<void> => {
      // A page that was hidden has lost it, and asks again when it is seen.
      if (document.visibilityState !== "visible" || asking || lock?.released === false) return;
      asking = true;
      try {
        lock = (await navigator.wakeLock?.request("screen")) ?? null;
        awake.value = lock === null ? "no" : "yes";
        lock?.addEventListener("release", () => {
          if (!gone) awake.value = "no";
        });
        if (gone) await lock?.release();
      } catch {
        awake.value = "no";
      } finally {
        asking = false;
      }
    };
    const seen = (): void => void ask();
    document.addEventListener("visibilitychange", seen);
    void ask();
    return () => {
      gone = true;
      document.removeEventListener("visibilitychange", seen);
      awake.value = "off";
      void lock?.release();
    };
  }, []);
}
