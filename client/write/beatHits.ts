/** The hits of a beat, put in, taken out, moved, made stronger; and as one line of text a drum. Pure. */
import { percussionName } from "../parts/keys.ts";
import { DEFAULT_VELOCITY, type Hit } from "../../schemas/routine.ts";

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
export const drumName = (key: number): string => {
  const name = DRUMS[key] ?? percussionName(key);
  return name === undefined ? `Key ${key}` : name[0]!.toUpperCase() + name.slice(1);
};

/** One strike: at so many steps from the beat's start, 1 to 127 strong. */
export interface Strike {
  readonly key: number;
  readonly at: number;
  readonly velocity: number;
}

export const strikesOf = (hits: readonly Hit[]): readonly Strike[] =>
  hits.flatMap(({ key, at, velocity = DEFAULT_VELOCITY }) => at.map((one) => ({ key, at: one, velocity })));

/**
 * As the file holds them: those of one key and strength together, in the order in which they first come. Two on one step
 * are of two strengths.
 */
export function hitsOf(strikes: readonly Strike[]): readonly Hit[] {
  const found = new Map<string, { key: number; velocity: number; at: number[] }>();
  for (const { key, at, velocity } of strikes) {
    const name = `${key} ${velocity}`;
    const one = found.get(name) ?? { key, velocity, at: [] };
    if (!one.at.includes(at)) one.at.push(at);
    found.set(name, one);
  }
  return [...found.values()].map(({ key, velocity, at }) => ({
    key,
    at: at.sort((a, b) => a - b),
    ...(velocity === DEFAULT_VELOCITY ? {} : { velocity }),
  }));
}

/** Of two on one step the stronger. */
export const strikeAt = (hits: readonly Hit[], key: number, at: number): Strike | undefined =>
  strikesOf(hits)
    .filter((one) => one.key === key && one.at === at)
    .toSorted((a, b) => b.velocity - a.velocity)[0];
const without = (strikes: readonly Strike[], key: number, at: number): readonly Strike[] =>
  strikes.filter((one) => one.key !== key || one.at !== at);

/** With a hit put in, or taken out where there was one. */
export function toggled(hits: readonly Hit[], key: number, at: number): readonly Hit[] {
  const strikes = strikesOf(hits);
  const left = without(strikes, key, at);
  return hitsOf(left.length < strikes.length ? left : [...strikes, { key, at, velocity: DEFAULT_VELOCITY }]);
}
/** With one at another step and strength; what is at that step already gives way. */
export function changedTo(hits: readonly Hit[], from: Strike, to: Strike): readonly Hit[] {
  const velocity = Math.min(127, Math.max(1, Math.round(to.velocity)));
  const others = strikesOf(hits).filter(
    (one) => one.key !== from.key || one.at !== from.at || one.velocity !== from.velocity,
  );
  const stays = to.key === from.key && to.at === from.at;
  return hitsOf([...(stays ? others : without(others, to.key, to.at)), { ...to, velocity }]);
}

/** "1 5:64 9": steps from 1, with a strength where it is not 100; "1:90 1:40": two strengths on one step. */
export const lineOf = (hits: readonly Hit[], key: number): string =>
  strikesOf(hits)
    .filter((one) => one.key === key)
    .sort((a, b) => a.at - b.at || b.velocity - a.velocity)
    .map(({ at, velocity }) => (velocity === DEFAULT_VELOCITY ? `${at + 1}` : `${at + 1}:${velocity}`))
    .join(" ");

/** What a line says; a sentence where it cannot be read. @param steps of the beat */
export function withLine(
  hits: readonly Hit[],
  key: number,
  line: string,
  steps: number,
): readonly Hit[] | { readonly trouble: string } {
  const read: Strike[] = [];
  for (const word of line.split(/[\s,]+/).filter((one) => one !== "")) {
    const match = /^(\d{1,7})(?::(\d{1,3}))?$/.exec(word);
    const at = Number(match?.[1]) - 1;
    const velocity = match?.[2] === undefined ? DEFAULT_VELOCITY : Number(match[2]);
    if (match === null || at < 0 || at >= steps)
      return { trouble: `“${word}” is no step from 1 to ${steps}. Write whole steps, parted by spaces.` };
    if (velocity < 1 || velocity > 127)
      return { trouble: `In “${word}” the strength must be from 1 to 127; 100 where nothing is said.` };
    read.push({ key, at, velocity });
  }
  const others = strikesOf(hits).filter((one) => one.key !== key);
  return hitsOf([...others, ...read]);
}

/** Keys of the drums that a beat shows, in order: those that it strikes, and the three that most begin with. */
export const lanesOf = (hits: readonly Hit[]): readonly number[] =>
  [...new Set([...hits.map(({ key }) => key), 36, 38, 42])].sort((a, b) => a - b);
