/** The hits of a beat, put in and taken out. Pure. */
import type { Hit } from "../../schemas/routine.ts";

/** General MIDI Level 1 percussion map (MIDI Association RP-003), the keys that a beat is usually made of. */
export const DRUMS: Readonly<Record<number, string>> = {
  36: "Bass drum",
  37: "Side stick",
  38: "Snare",
  39: "Hand clap",
  42: "Closed hi-hat",
  46: "Open hi-hat",
  45: "Low tom",
  50: "High tom",
  49: "Crash cymbal",
  51: "Ride cymbal",
};
export const drumName = (key: number): string => DRUMS[key] ?? `Key ${key}`;

/** With a hit put in at a step, or taken out where there was one. */
export function toggled(hits: readonly Hit[], key: number, at: number): readonly Hit[] {
  const there = hits.some((hit) => hit.key === key && hit.at.includes(at));
  if (there)
    return hits
      .map((hit) => (hit.key === key ? { ...hit, at: hit.at.filter((one) => one !== at) } : hit))
      .filter((hit) => hit.at.length > 0);
  const index = hits.findIndex((hit) => hit.key === key);
  if (index < 0) return [...hits, { key, at: [at] }];
  return hits.map((hit, position) =>
    position === index ? { ...hit, at: [...hit.at, at].sort((a, b) => a - b) } : hit,
  );
}

/** A key's hits at these steps; those that were there keep their strength. */
export function withSteps(hits: readonly Hit[], key: number, steps: readonly number[]): readonly Hit[] {
  const had = hits.filter((hit) => hit.key === key).flatMap((hit) => hit.at);
  const gone = had.filter((at) => !steps.includes(at));
  const fresh = steps.filter((at) => !had.includes(at));
  return [...gone, ...fresh].reduce((now, at) => toggled(now, key, at), hits);
}
