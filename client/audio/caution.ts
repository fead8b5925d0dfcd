/** The caution about loudness, which is heard once, before the first sound. */
import { signal } from "@preact/signals";
import { cautionSeen } from "../state/settings.ts";

/** It is shown, and something waits for it. */
export const cautionDue = signal(false);
let afterCaution = (): void => {};

/** Does something that sounds, after the caution where that was not heard yet. */
export function withCaution(act: () => void): void {
  if (cautionSeen.value) {
    act();
    return;
  }
  afterCaution = act;
  cautionDue.value = true;
}
export function heedCaution(): void {
  cautionSeen.value = true;
  cautionDue.value = false;
  afterCaution();
}
