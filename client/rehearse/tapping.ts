/** The user's fader in a round: when it was opened, against when it should have been. */
import { signal } from "@preact/signals";
import type { PracticeScore } from "../../schemas/practice.ts";
import { NOTHING_BEFORE, unheardMs } from "../../schemas/unheard.ts";
import { heardNow } from "../audio/heardNow.ts";
import { unitsOfText } from "../parts/music.ts";
import type { Opened } from "../state/opened.ts";
import { opened } from "../state/shown.ts";
import type { Judged } from "./climb.ts";
import { absolute, type Part } from "./drills.ts";
import { bend, secondsAt } from "../parts/seconds.ts";
import type { Begun } from "./rounds.ts";
import { drill } from "./settings.ts";
import { fOf, pairs, scoreOf, WINDOW } from "./taps.ts";

/** An opening that was to be met, and what became of it. */
export interface Met {
  /** Index of its section, and units from that section's start. */
  readonly section: number;
  readonly at: number;
  /** Late is positive; null: missed. */
  readonly errorMs: number | null;
  readonly unheardMs: number;
}
export interface TappedRound {
  /** Its part's key. */
  readonly part: string;
  readonly score: PracticeScore;
  readonly met: readonly Met[];
}
/** Rounds of the drill that were tapped, oldest first. */
export const tappedRounds = signal<readonly TappedRound[]>([]);
const best = new Map<string, PracticeScore>();
/** Seconds from the routine's start at the written tempo. */
let taps: number[] = [];

export function forgetTaps(): void {
  tappedRounds.value = [];
  best.clear();
  taps = [];
}

/** The user opened the fader, at a moment of `performance.now()` of a round at so many times the written tempo. */
export function tapped(at: number, speed: number): void {
  const now = opened.value;
  const heard = heardNow(at);
  if (now === null || heard === null || heard.resting) return;
  // The first opening may be met before the count-in is over.
  const early = heard.countingIn ? WINDOW : 0;
  const there = early === 0 ? heard : heardNow(at + 1000 * early);
  const section = now.routine.sections[there?.section ?? -1];
  if (there === null || section === undefined || there.countingIn || there.resting) return;
  taps.push(secondsAt(now, absolute(now, { section: section.id, at: there.at })) - early * speed);
}

/** Takes the taps of a round that is over. @returns how it went; null where nobody said that taps should judge */
export function takeScore({ part, round }: Begun): Judged | null {
  const now = opened.value;
  const played = taps.map((time) => time / round.speed);
  taps = [];
  if (now === null || drill.value.heard !== "my-fader") return null;
  const openings = openingsOf(now, part);
  const expected = openings.map(({ time }) => time / round.speed);
  const score = scoreOf(expected, played);
  const tapOf = new Map(pairs(expected, played));
  const met = openings.map(({ section, at }, index): Met => {
    const time = expected[index]!;
    const tap = tapOf.get(index);
    const before = expected[index - 1];
    return {
      section,
      at,
      errorMs: tap === undefined ? null : 1000 * (played[tap]! - time),
      unheardMs: unheardMs(before === undefined ? NOTHING_BEFORE : time - before),
    };
  });
  tappedRounds.value = [...tappedRounds.value, { part: part.key, score, met }];
  const before = best.get(part.key);
  if (before === undefined || fOf(score) >= fOf(before)) best.set(part.key, score);
  return drill.value.goodFrom === 0 ? null : fOf(score) >= drill.value.goodFrom ? "good" : "bad";
}

/** The best score of a part in the drill. */
export const scoreFor = (key: string): PracticeScore | undefined => best.get(key);

/**
 * Where the leading player's fader opens in a part, in order: index of the section, units from its start, and seconds
 * from the routine's start at the written tempo.
 */
export function openingsOf(
  now: Opened,
  { range }: Part,
): readonly { readonly section: number; readonly at: number; readonly time: number }[] {
  const [from, to] = [absolute(now, range.from), absolute(now, range.to)];
  const found: { section: number; at: number; time: number }[] = [];
  for (const [section, { start, performance }] of now.performance.sections.entries()) {
    const leading = Math.min(...performance.placed.map(({ player }) => player));
    const swing = now.routine.sections[section]?.swing;
    const pair = swing === undefined ? 0 : 2 * unitsOfText(swing.of);
    for (const { start: at, placement } of performance.openings) {
      if (start + at < from || start + at >= to) continue;
      if (performance.placed.find((one) => one.placement === placement)?.player !== leading) continue;
      const bent = bend(at, pair, swing?.hands ?? 50, performance.length);
      found.push({ section, at, time: secondsAt(now, start + bent) });
    }
  }
  return found.sort((a, b) => a.time - b.time);
}
