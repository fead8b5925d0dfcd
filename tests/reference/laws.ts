/** How the laws are run: a few hundred random cases, or as many as COUNTERCUT_RUNS says, the seed always shown. */
import fc from "fast-check";

const { COUNTERCUT_RUNS, COUNTERCUT_SEED } = process.env;

/**
 * Runs a law over random input. The seed is printed; a run is repeated with COUNTERCUT_SEED.
 *
 * @param usual cases in an ordinary run
 */
export function holds<T>(name: string, usual: number, input: fc.Arbitrary<T>, law: (value: T) => void): void {
  const seed = COUNTERCUT_SEED === undefined ? Date.now() & 0x7fffffff : Number(COUNTERCUT_SEED);
  const numRuns = COUNTERCUT_RUNS === undefined ? usual : Number(COUNTERCUT_RUNS);
  console.log(`${name}: ${numRuns} cases, COUNTERCUT_SEED=${seed}`);
  fc.assert(fc.property(input, law), { seed, numRuns, endOnFailure: true });
}
