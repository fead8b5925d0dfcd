/**
 * The best recording of each part: a good round before one that went wrong, of good ones the fastest, then the one in
 * which most was met and least was extra, then the steadiest. One that was stopped before its end is no round, and is
 * not among them: it has met fewer sounds because it asked for fewer.
 */
import { type PracticeEntry, practiceKey } from "../../schemas/practice.ts";
import { fOf } from "./taps.ts";

const worth = ({ reached, score }: PracticeEntry): readonly number[] => [
  reached ?? 0,
  score === undefined ? 0 : fOf(score),
  -(score?.spreadMs ?? Number.POSITIVE_INFINITY),
];

function better(a: PracticeEntry, b: PracticeEntry): boolean {
  const [left, right] = [worth(a), worth(b)];
  const at = left.findIndex((value, index) => value !== right[index]);
  return at >= 0 && left[at]! > right[at]!;
}

/** By `practiceKey`; parts that were never recorded are not among them. */
export function bestTakes(entries: readonly PracticeEntry[]): ReadonlyMap<string, PracticeEntry> {
  const best = new Map<string, PracticeEntry>();
  for (const entry of entries) {
    if (entry.recording === undefined || entry.good + entry.bad === 0) continue;
    const key = practiceKey(entry.of);
    const before = best.get(key);
    if (before === undefined || better(entry, before)) best.set(key, entry);
  }
  return best;
}
