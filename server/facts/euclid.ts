/** Euclidean rhythms: so many onsets spread over a cycle as evenly as its pulses allow. */
import type { Rhythm } from "./rhythm.ts";

/**
 * `onsets` (0 to `pulses`) spread over `pulses`: onset i stands at ⌈i·n/k⌉, which is the set of all i with
 * i·k mod n below k, and a rotation of what Bjorklund's folding gives. Starts on pulse 0.
 *
 * Toussaint, G. T. (2005), The Euclidean algorithm generates traditional musical rhythms, Proc. BRIDGES, 47-56;
 * Demaine, E. D. et al. (2009), The distance geometry of music, Comput. Geom. 42:429-454.
 */
export function euclidean(onsets: number, pulses: number): Rhythm {
  return {
    pulses,
    onsets: Array.from({ length: onsets }, (_, index) => Math.ceil((index * pulses) / onsets)),
  };
}
