/** Sentences about what was just done, or could not be. */
import { signal } from "@preact/signals";

/** Something to be told once, in a line that comes and goes. */
export const said = signal("");
/** What was done last, for those who hear the screen: others see it. */
export const done = signal("");
/** For screen readers alone: what the eye sees on the screen already. */
export const told = signal("");
