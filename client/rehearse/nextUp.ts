/**
 * What to practise next, and why: what was begun and is due before what is new, joins before phrases, the weakest
 * first, spaced over days.
 *
 * That practice spread over days is kept better than the same amount on one day is published (Cepeda, Pashler, Vul,
 * Wixted and Rohrer 2006, "Distributed practice in verbal recall tasks"; for movements, Shea, Lai, Black and Park 2000,
 * "Spacing practice sessions across days benefits the learning of motor skills"; both cited from memory). How many days
 * is our own rule: a day that goes well doubles the gap, from one day up to sixteen; one that does not brings it back
 * to one.
 */
import type { PracticeEntry } from "../../schemas/practice.ts";
import { practiceKey } from "../../schemas/practice.ts";
import { counted } from "../parts/music.ts";

/** The part of bad rounds up to which a day went well. */
const WELL = 1 / 3;
const LONGEST_GAP = 16;

export interface Practised {
  /** Days since 1970 in the user's own time, ascending, each once. */
  readonly days: readonly number[];
  /** Of the latest day. */
  readonly good: number;
  readonly bad: number;
  /** The highest tempo of a good round on the latest day on which there was one, and of all days, as parts of the written one. */
  readonly lastReached: number | null;
  readonly best: number | null;
  /** The lowest tempo of a bad round of the latest day, quarters a minute. */
  readonly failedAt: number | null;
  /** Days from the latest to when it is due. */
  readonly gap: number;
}

/** Days since 1970 of a moment, in the user's own time. */
export function dayOf(at: Date): number {
  return Math.floor((at.getTime() - at.getTimezoneOffset() * 60_000) / 86_400_000);
}

/** By `practiceKey`. @param entries in any order */
export function practisedBy(entries: readonly PracticeEntry[]): ReadonlyMap<string, Practised> {
  const byKey = new Map<string, PracticeEntry[]>();
  for (const entry of [...entries].sort((a, b) => (a.at < b.at ? -1 : 1))) {
    const key = practiceKey(entry.of);
    byKey.set(key, [...(byKey.get(key) ?? []), entry]);
  }
  return new Map([...byKey].map(([key, all]) => [key, practised(all)]));
}

function practised(entries: readonly PracticeEntry[]): Practised {
  const byDay = new Map<number, PracticeEntry[]>();
  for (const entry of entries) {
    const day = dayOf(new Date(entry.at));
    byDay.set(day, [...(byDay.get(day) ?? []), entry]);
  }
  const days = [...byDay.keys()].sort((a, b) => a - b);
  let gap = 1;
  for (const day of days) {
    const { good, bad } = sums(byDay.get(day)!);
    gap = good > 0 && bad <= WELL * (good + bad) ? Math.min(LONGEST_GAP, day === days[0] ? 1 : gap * 2) : 1;
  }
  const last = byDay.get(days.at(-1)!)!;
  const parts = (some: readonly PracticeEntry[]): number[] =>
    some.flatMap(({ reached, written }) => (reached === null ? [] : [reached / written]));
  const reachedDay = days.findLast((day) => parts(byDay.get(day)!).length > 0);
  const failed = last.flatMap(({ failedAt }) => (failedAt === null ? [] : [failedAt]));
  return {
    days,
    ...sums(last),
    lastReached: reachedDay === undefined ? null : Math.max(...parts(byDay.get(reachedDay)!)),
    best: reachedDay === undefined ? null : Math.max(...parts(entries)),
    failedAt: failed.length === 0 ? null : Math.min(...failed),
    gap,
  };
}

const sums = (entries: readonly PracticeEntry[]): { good: number; bad: number } => ({
  good: entries.reduce((sum, { good }) => sum + good, 0),
  bad: entries.reduce((sum, { bad }) => sum + bad, 0),
});

export interface Next {
  readonly key: string;
  /** Days from today; 0 and below: due. */
  readonly in: number;
  /** 0 to 2: what is missing of the tempo, and the part of bad rounds. */
  readonly weakness: number;
  /** How it stands, and when it comes again and why; sentences. */
  readonly reason: string;
  readonly when: string;
}

/**
 * @param things what can be practised, in the order of the routine
 * @param today as `dayOf` says
 */
export function nextUp(
  things: readonly { readonly key: string; readonly kind: "join" | "phrase" }[],
  known: ReadonlyMap<string, Practised>,
  today: number,
): readonly Next[] {
  const all = things.map(({ key, kind }) => ({ ...judged(key, kind, known.get(key), today), kind }));
  const rank = (one: (typeof all)[number]): number[] => [
    Math.max(0, one.in),
    known.has(one.key) ? 0 : 1,
    one.kind === "join" ? 0 : 1,
    -one.weakness,
  ];
  return all
    .map((one, index) => ({ one, order: [...rank(one), index] }))
    .sort((a, b) => {
      const at = a.order.findIndex((value, index) => value !== b.order[index]);
      return at < 0 ? 0 : a.order[at]! - b.order[at]!;
    })
    .map(({ one: { kind: _, ...next } }) => next);
}

function judged(key: string, kind: string, past: Practised | undefined, today: number): Next {
  if (past === undefined)
    return { key, in: 0, weakness: 0, reason: `This ${kind} was not practised yet.`, when: "" };
  const due = past.days.at(-1)! + past.gap - today;
  const rounds = past.good + past.bad;
  const badPart = rounds === 0 ? 0 : past.bad / rounds;
  const reached = past.lastReached;
  const weakness = (reached === null ? 1 : Math.max(0, 1 - reached)) + badPart;
  const tempo =
    reached === null ? "No good round so far" : `Last reached ${Math.round(reached * 100)} % of its tempo`;
  const rest =
    rounds === 0 ? "" : `, ${past.bad === 0 ? "none" : past.bad} of ${counted(rounds, "round")} went wrong`;
  const well = past.good > 0 && badPart <= WELL;
  const gap = well
    ? `After a day that went well it waits ${counted(past.gap, "day")}`
    : "After a hard day it comes again the next day";
  const when = due <= 0 ? "it is due" : due === 1 ? "it is due tomorrow" : `it is due in ${due} days`;
  return { key, in: due, weakness, reason: `${tempo}${rest}.`, when: `${gap}: ${when}.` };
}
