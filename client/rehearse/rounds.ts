/** The rounds of a drill: which were begun, which is heard, how they went, and at which tempo the next ones are. */
import { computed, signal } from "@preact/signals";
import type { Round } from "../../schemas/soundWire.ts";
import { climbed, type Climb, type Judged, setTo, startOf } from "./climb.ts";
import type { Part } from "./drills.ts";
import { drill } from "./settings.ts";

/** A round as it was begun. */
export interface Begun {
  /** Of the play, where its count-in starts. */
  readonly frame: number;
  readonly round: Round;
  readonly part: Part;
  readonly judged: Judged | null;
  /** Before it was judged, so that a slip of the key can be mended; null: the tempo was set by hand since it began. */
  readonly climb: Climb | null;
}

export interface Tally {
  readonly part: Part;
  readonly good: number;
  readonly bad: number;
  /** Percent of the written tempo. */
  readonly reached: number | null;
  readonly failedAt: number | null;
}

export const counting = signal(false);
export const resting = signal(false);
/** A drill of rounds; a run of the whole as on the stage, once; or nothing. */
export const mode = signal<"drill" | "run" | null>(null);
export const running = computed(() => mode.value !== null);
export const rounds = signal<readonly Begun[]>([]);
export const climbs = signal<ReadonlyMap<string, Climb>>(new Map());
export const tallies = signal<ReadonlyMap<string, Tally>>(new Map());
export const heardRound = signal<Begun | null>(null);

export const climbOf = (key: string): Climb => climbs.value.get(key) ?? startOf(drill.value.climb);
export const tempoOf = (part: Part): number =>
  drill.value.climbs ? climbOf(part.key).tempo : drill.value.tempo;

/** What a press judges: the round that is heard, or in its rest; while one is counted in, the one before. */
export const roundToJudge = computed((): Begun | undefined => {
  const now = heardRound.value;
  if (now === null || !running.value) return undefined;
  const number = counting.value ? now.round.number - 1 : now.round.number;
  return rounds.value.find(({ round }) => round.number === number);
});

/** @param one begun in this drill */
export function judgeRound(one: Begun, judged: Judged): void {
  const tally = tallies.value.get(one.part.key) ?? emptyTally(one.part);
  const tempo = Math.round(one.round.speed * 100);
  const good = tally.good + (judged === "good" ? 1 : 0) - (one.judged === "good" ? 1 : 0);
  const bad = tally.bad + (judged === "bad" ? 1 : 0) - (one.judged === "bad" ? 1 : 0);
  rounds.value = rounds.value.map((other) =>
    other.round.number === one.round.number ? { ...other, judged } : other,
  );
  const of = (kind: Judged): number[] =>
    rounds.value.flatMap((other) =>
      other.part.key === one.part.key && other.judged === kind ? [Math.round(other.round.speed * 100)] : [],
    );
  const [went, failed] = [of("good"), of("bad")];
  tallies.value = new Map(tallies.value).set(one.part.key, {
    ...tally,
    good,
    bad,
    reached: went.length === 0 ? null : Math.max(...went),
    failedAt: failed.length === 0 ? null : Math.min(...failed),
  });
  // A tempo that was set by hand meanwhile stays.
  if (!drill.value.climbs || tempo === 0 || one.climb === null) return;
  climbs.value = new Map(climbs.value).set(one.part.key, climbed(drill.value.climb, one.climb, judged));
}

export const emptyTally = (part: Part): Tally => ({
  part,
  good: 0,
  bad: 0,
  reached: null,
  failedAt: null,
});

/** Percent of the written tempo that a press makes it faster or slower. */
export const TEMPO_STEP = 5;

/** From the next round on, by so many percent; no round that was begun before changes it again. */
export function shiftTempo({ key }: Part, by: number): void {
  climbs.value = new Map(climbs.value).set(key, setTo(drill.value.climb, climbOf(key).tempo + by));
  rounds.value = rounds.value.map((one) => (one.part.key === key ? { ...one, climb: null } : one));
}
