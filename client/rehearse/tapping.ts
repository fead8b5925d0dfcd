/** The user's fader in a round: when it was opened, against when it should have been. */
import { signal } from "@preact/signals";
import type { PracticeScore } from "../../schemas/practice.ts";
import { UNITS_PER_QUARTER } from "../../schemas/units.ts";
import * as player from "../audio/player.ts";
import { unitsOfText } from "../parts/music.ts";
import type { Opened } from "../state/opened.ts";
import { opened } from "../state/store.ts";
import type { Judged } from "./climb.ts";
import { absolute, type Part } from "./drills.ts";
import type { Begun } from "./session.ts";
import { drill } from "./settings.ts";
import { fOf, scoreOf } from "./taps.ts";

/** Of the round before. */
export const lastScore = signal<PracticeScore | null>(null);
const best = new Map<string, PracticeScore>();
let taps: number[] = [];

/** The user opened the fader, at a moment of `performance.now()`. */
export function tapped(at: number): void {
  const now = opened.value;
  const heard = player.heardNow(at);
  const section = now?.routine.sections[heard?.section ?? -1];
  if (now === null || heard === null || section === undefined || heard.countingIn || heard.resting) return;
  taps.push(secondsAt(now, absolute(now, { section: section.id, at: heard.at })));
}

/** Takes the taps of a round that is over. @returns how it went; null where nobody said that taps should judge */
export function takeScore({ part, round }: Begun): Judged | null {
  const now = opened.value;
  const played = taps.map((time) => time / round.speed);
  taps = [];
  if (now === null || drill.value.heard !== "my-fader") return null;
  const expected = openingsOf(now, part).map((time) => time / round.speed);
  const score = scoreOf(expected, played);
  lastScore.value = score;
  const before = best.get(part.key);
  if (before === undefined || fOf(score) >= fOf(before)) best.set(part.key, score);
  return drill.value.goodFrom === 0 ? null : fOf(score) >= drill.value.goodFrom ? "good" : "bad";
}

/** The best score of a part since it was asked last. */
export function scoreFor(key: string): PracticeScore | undefined {
  const score = best.get(key);
  best.delete(key);
  return score;
}

/** Seconds from the routine's start at which the leading player's fader opens in a part, ascending, at the written tempo. */
export function openingsOf(now: Opened, { range }: Part): readonly number[] {
  const [from, to] = [absolute(now, range.from), absolute(now, range.to)];
  const found: number[] = [];
  for (const [index, { start, performance }] of now.performance.sections.entries()) {
    const leading = Math.min(...performance.placed.map(({ player }) => player));
    const swing = now.routine.sections[index]?.swing;
    for (const opening of performance.openings) {
      const at = start + opening.start;
      if (at < from || at >= to) continue;
      if (performance.placed.find(({ placement }) => placement === opening.placement)?.player !== leading)
        continue;
      const pair = swing === undefined ? 0 : 2 * unitsOfText(swing.of);
      const bent = bend(opening.start, pair, swing?.hands ?? 50, performance.length);
      found.push(secondsAt(now, start + bent));
    }
  }
  return found.sort((a, b) => a - b);
}

/** Swing (domain of time): the first of each pair of steps takes its percentage of it; an incomplete pair stays straight. */
function bend(at: number, pair: number, percent: number, length: number): number {
  const start = Math.floor(at / pair) * pair;
  if (percent === 50 || pair === 0 || at < 0 || start + pair > length) return at;
  const [inside, first] = [at - start, (pair * percent) / 100];
  const half = pair / 2;
  return inside <= half
    ? start + (inside * first) / half
    : start + first + ((inside - half) * (pair - first)) / half;
}

/** Seconds from the routine's start of a straight position in units; a ramp is linear in beats. */
function secondsAt({ performance, routine }: Opened, position: number): number {
  const index = Math.max(
    0,
    performance.sections.findLastIndex(({ start }) => start <= position),
  );
  const timed = performance.sections[index];
  const tempo = routine.sections[index]?.tempo ?? 120;
  if (timed === undefined) return 0;
  const quarters = (position - timed.start) / UNITS_PER_QUARTER;
  if (typeof tempo === "number" || quarters < 0)
    return timed.startSeconds + (60 * quarters) / (typeof tempo === "number" ? tempo : tempo.from);
  const all = timed.performance.length / UNITS_PER_QUARTER;
  const change = tempo.to - tempo.from;
  return timed.startSeconds + ((60 * all) / change) * Math.log(1 + (change * quarters) / (all * tempo.from));
}
