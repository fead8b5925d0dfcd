/** What the checks of one part share: its problems told from the part itself, found once, and the clock's fineness. */
import type { Problem } from "../../schemas/problem.ts";
import { parseFraction, unitsOf } from "../time/fraction.ts";
import { pointer, problem } from "./catalogue.ts";
import { Memory } from "../../schemas/memory.ts";
import { sameItems } from "../../schemas/sameItems.ts";

/** Whether a fraction of a whole note is no whole number of units. */
export const isFiner = (step: string): boolean => unitsOf(parseFraction(step)) === null;

export const finer = (place: string, where: string, what: string): Problem =>
  problem(
    "finer-than-clock",
    place,
    `${where}: ${what} is finer than the clock can count. Choose a length that divides as steps do (2, 3, 5, 7, 9, 11, 13).`,
  );

/** Problems whose places are told from a part, as places in the whole. @param part where it is; made a JSON Pointer only where something was found */
export function at(part: readonly PropertyKey[], problems: readonly Problem[]): readonly Problem[] {
  if (problems.length === 0) return problems;
  const place = pointer(...part);
  return problems.map((problem) => ({ ...problem, place: `${place}${problem.place}` }));
}

/** What is found in an immutable value is found once. */
export function remembered<Value extends object>(
  find: (value: Value) => readonly Problem[],
): (value: Value) => readonly Problem[] {
  const known = new Memory<Value, readonly Problem[]>();
  return (value) => {
    let problems = known.get(value);
    if (problems === undefined) {
      problems = find(value);
      known.set(value, problems);
    }
    return problems;
  };
}

/**
 * As `remembered`, where what is found hangs on more than the value: found anew where any of `uses` is another than the
 * last time.
 */
export function rememberedWith<Value extends object>(): (
  value: Value,
  uses: readonly unknown[],
  find: () => readonly Problem[],
) => readonly Problem[] {
  const known = new Memory<
    Value,
    { readonly uses: readonly unknown[]; readonly problems: readonly Problem[] }
  >();
  return (value, uses, find) => {
    const last = known.get(value);
    if (last !== undefined && sameItems(last.uses, uses)) return last.problems;
    const problems = find();
    known.set(value, { uses, problems });
    return problems;
  };
}
