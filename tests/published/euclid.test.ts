/**
 * Toussaint, G. T. (2005), The Euclidean algorithm generates traditional musical rhythms, Proc. BRIDGES, Banff, 47-56
 * (extended version online); Bjorklund, E. (2003), SNS-NOTE-CNTRL-99, Los Alamos; Demaine, E. D. et al. (2009), The
 * distance geometry of music, Comput. Geom. 42:429-454. The printed list through two independent transcriptions.
 */
import { describe, expect, it } from "vitest";
import { euclidean } from "../../server/facts/euclid.ts";
import { isMaximallyEven } from "../../server/facts/metreEvenness.ts";

/**
 * Onsets, pulses, the pattern as printed (that of 5 in 16 without the one dot too many), the form that starts each
 * onset at ⌈i·n/k⌉, and by how many pulses that form, turned to the left, is the printed one.
 */
const PRINTED: readonly (readonly [number, number, string, string, number])[] = [
  [1, 2, "x.", "x.", 0],
  [1, 3, "x..", "x..", 0],
  [2, 3, "x.x", "x.x", 0],
  [1, 4, "x...", "x...", 0],
  [3, 4, "x.xx", "x.xx", 0],
  [2, 5, "x.x..", "x..x.", 3],
  [3, 5, "x.x.x", "x.x.x", 0],
  [5, 6, "x.xxxx", "x.xxxx", 0],
  [3, 7, "x.x.x..", "x..x.x.", 3],
  [4, 7, "x.x.x.x", "x.x.x.x", 0],
  [5, 7, "x.xx.xx", "x.xx.xx", 0],
  [3, 8, "x..x..x.", "x..x..x.", 0],
  [5, 8, "x.xx.xx.", "x.x.xx.x", 2],
  [7, 8, "x.xxxxxx", "x.xxxxxx", 0],
  [4, 9, "x.x.x.x..", "x..x.x.x.", 3],
  [5, 9, "x.x.x.x.x", "x.x.x.x.x", 0],
  [4, 11, "x..x..x..x.", "x..x..x..x.", 0],
  [5, 11, "x.x.x.x.x..", "x..x.x.x.x.", 3],
  [4, 12, "x..x..x..x..", "x..x..x..x..", 0],
  [5, 12, "x..x.x..x.x.", "x..x.x..x.x.", 0],
  [7, 12, "x.xx.x.xx.x.", "x.x.x.xx.x.x", 4],
  [5, 13, "x..x.x..x.x..", "x..x..x.x..x.", 3],
  [5, 16, "x..x..x..x..x...", "x...x..x..x..x..", 4],
  [7, 16, "x..x.x.x..x.x.x.", "x..x.x.x..x.x.x.", 0],
  [9, 16, "x.xx.x.x.xx.x.x.", "x.x.x.x.xx.x.x.x", 6],
  [11, 24, "x..x.x.x.x.x..x.x.x.x.x.", "x..x.x.x.x.x..x.x.x.x.x.", 0],
  [13, 24, "x.xx.x.x.x.x.xx.x.x.x.x.", "x.x.x.x.x.x.xx.x.x.x.x.x", 10],
];

const text = ({ pulses, onsets }: { pulses: number; onsets: readonly number[] }): string =>
  Array.from({ length: pulses }, (_, pulse) => (onsets.includes(pulse) ? "x" : ".")).join("");
const turned = (pattern: string, by: number): string => pattern.slice(by) + pattern.slice(0, by);
const isTurnOf = (a: string, b: string): boolean => a.length === b.length && (a + a).includes(b);

/** Bjorklund's folding: the shorter list is laid under the longer until one or none is left over. */
function bjorklund(onsets: number, pulses: number): string {
  let heads: string[] = new Array(onsets).fill("x");
  let tails: string[] = new Array(pulses - onsets).fill(".");
  while (tails.length > 1) {
    const folded = Math.min(heads.length, tails.length);
    const joined = heads.slice(0, folded).map((head, index) => head + tails[index]);
    const left = heads.length > folded ? heads.slice(folded) : tails.slice(folded);
    heads = joined;
    tails = left;
  }
  return [...heads, ...tails].join("");
}

describe("Euclidean rhythms", () => {
  it("are those that Toussaint prints, as necklaces, and start where the ceiling says", () => {
    for (const [onsets, pulses, printed, ceiling, by] of PRINTED) {
      const own = text(euclidean(onsets, pulses));
      expect([onsets, pulses, own]).toEqual([onsets, pulses, ceiling]);
      expect([onsets, pulses, turned(own, by)]).toEqual([onsets, pulses, printed]);
    }
  });

  it("are all i with i·k mod n below k, and turns of the floor's form and of Bjorklund's, up to 40 pulses", () => {
    for (let pulses = 1; pulses <= 40; pulses++) {
      for (let onsets = 1; onsets <= pulses; onsets++) {
        const rhythm = euclidean(onsets, pulses);
        const residues = Array.from({ length: pulses }, (_, i) => i).filter(
          (i) => (i * onsets) % pulses < onsets,
        );
        expect(rhythm.onsets).toEqual(residues);
        const floor = Array.from({ length: onsets }, (_, i) => Math.floor((i * pulses) / onsets));
        const own = text(rhythm);
        expect(isTurnOf(own, text({ pulses, onsets: floor }))).toBe(true);
        expect(isTurnOf(own, bjorklund(onsets, pulses))).toBe(true);
        expect(isMaximallyEven({ pulses, onsets: floor })).toBe(true);
      }
    }
  });
});
