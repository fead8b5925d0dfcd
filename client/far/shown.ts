/** Whether the view for reading from afar stands in place of the screen. */
import { signal } from "@preact/signals";

export const far = signal(false);
