/** Which of the user's patterns are the same phrase as another, or the same but for a change that can be said. */
import type { Alike } from "../../schemas/facts.ts";
import type { Pattern } from "../../schemas/routine.ts";
import { keysOf } from "./sameness.ts";
import { called } from "../routine/called.ts";
import { Memory } from "../../schemas/memory.ts";

/** The user's patterns by the key of their phrase, and by the key that no step changes. */
export interface Twins {
  readonly same: ReadonlyMap<string, readonly Pattern[]>;
  readonly anyStep: ReadonlyMap<string, readonly Pattern[]>;
}

function grouped(patterns: readonly Pattern[], key: (pattern: Pattern) => string): Map<string, Pattern[]> {
  const groups = new Map<string, Pattern[]>();
  for (const pattern of patterns) {
    const group = groups.get(key(pattern));
    if (group === undefined) groups.set(key(pattern), [pattern]);
    else group.push(pattern);
  }
  return groups;
}

const known = new Memory<readonly Pattern[], Twins>();

/** Remembered by the list's identity. */
export function twinsOf(patterns: readonly Pattern[]): Twins {
  let twins = known.get(patterns);
  if (twins === undefined) {
    twins = {
      same: grouped(patterns, (pattern) => keysOf(pattern).same),
      anyStep: grouped(patterns, (pattern) => keysOf(pattern).anyStep),
    };
    known.set(patterns, twins);
  }
  return twins;
}

/** The other patterns that are the same phrase, from whatever point they start, in the order of the file. */
export const equalsOf = (pattern: Pattern, twins: Twins): readonly Pattern[] =>
  (twins.same.get(keysOf(pattern).same) ?? []).filter((other) => other !== pattern);

/** Those that are its mirror, or stand at another step, or both; each once, by the smallest change. */
export function alikeOf(pattern: Pattern, twins: Twins): Alike[] {
  const { same, mirror, anyStep, mirrorAnyStep } = keysOf(pattern);
  const seen = new Set<Pattern>([pattern, ...(twins.same.get(same) ?? [])]);
  const list = (patterns: readonly Pattern[] | undefined, how: Alike["how"]): Alike[] =>
    (patterns ?? []).flatMap((other) => {
      if (seen.has(other)) return [];
      seen.add(other);
      return [{ pattern: other.id, name: called(other), how }];
    });
  return [
    ...list(twins.same.get(mirror), "mirrored"),
    ...list(twins.anyStep.get(anyStep), "another-step"),
    ...list(twins.anyStep.get(mirrorAnyStep), "mirrored-another-step"),
  ];
}
