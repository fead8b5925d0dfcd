/**
 * A drill that is played: which round is heard, how the rounds went, and what comes next. The server plays the rounds
 * that it is told; here is decided which.
 */
import { computed, effect, signal } from "@preact/signals";
import type { Round } from "../../schemas/soundWire.ts";
import * as player from "../audio/player.ts";
import { clicks as clickWish, heardChannels, withCaution } from "../audio/transport.ts";
import { opened } from "../state/store.ts";
import { far } from "../far/shown.ts";
import { Bag } from "./bag.ts";
import { worked } from "./care.ts";
import { chosenKey, chosenParts, mixed } from "./choice.ts";
import type { Judged } from "./climb.ts";
import type { Part } from "./drills.ts";
import { soundFor } from "./heard.ts";
import { parts } from "./plan.ts";
import { record } from "./practice.ts";
import {
  type Begun,
  counting,
  resting,
  mode,
  running,
  rounds,
  climbs,
  tallies,
  heardRound,
  roundToJudge,
  tempoOf,
  climbOf,
  judgeRound,
  shiftTempo,
  emptyTally,
} from "./rounds.ts";
import { drill } from "./settings.ts";
import { forgetTaps, scoreFor, takeScore } from "./tapping.ts";

/** A run of the whole that is over: seconds of it that were heard, and the sections that were left after a slip. */
export const lastRun = signal<{ readonly seconds: number; readonly slips: readonly string[] } | null>(null);
let slips: string[] = [];
/** Seconds of music by part: no signal, since they move with every frame. */
const played = new Map<string, number>();
/** The last round whose music is over. */
let over = -1;
let upcoming: { number: number; part: Part } | null = null;
const bag = new Bag<Part>();

const draw = (last: Part | undefined): Part | undefined => bag.draw(chosenParts(), last);

function roundOf(number: number, part: Part): Round {
  const { countIn, rest, silentEvery } = drill.value;
  return {
    number,
    range: part.range,
    speed: tempoOf(part) / 100,
    countIn,
    rest,
    silent: silentEvery > 0 && (number + 1) % silentEvery === 0,
  };
}

function begin(wanted: "drill" | "run"): void {
  tallies.value = new Map();
  rounds.value = [];
  heardRound.value = null;
  lastRun.value = null;
  slips = [];
  forgetTaps();
  played.clear();
  over = -1;
  upcoming = null;
  far.value = true;
  mode.value = wanted;
}

/** The whole once, as on the stage: everything, at the tempo as it is written, after a count-in. */
export function perform(): void {
  const routine = opened.value;
  if (routine === null) return;
  begin("run");
  player.setFader("program", false);
  void player.start({
    material: { kind: "open", name: routine.name },
    from: null,
    loop: null,
    speed: 1,
    countIn: 1,
    clicks: clickWish.value,
  });
}

/** After a slip: the next section from its start, at the next bar. */
export function goOn(): void {
  const now = opened.value;
  const heard = player.heardNow();
  if (now === null || heard === null) return;
  const [left, next] = now.routine.sections.slice(heard.section);
  if (left === undefined || next === undefined || mode.value !== "run") return;
  slips.push(left.name ?? left.id);
  player.seek({ section: next.id, at: 0 }, "bar", next.name ?? next.id);
}

export function start(): void {
  const routine = opened.value;
  const part = draw(undefined);
  if (routine === null || part === undefined) return;
  begin("drill");
  // From now on it stays the same, whatever is due next.
  if (!mixed.value) chosenKey.value = part.key;
  climbs.value = new Map();
  upcoming = { number: 0, part };
  const wish = soundFor(drill.value.heard);
  player.setFader(wish.by, wish.ticks);
  heardChannels.value = wish.channels;
  void player.start({
    material: { kind: "open", name: routine.name },
    from: null,
    loop: null,
    speed: 1,
    countIn: 0,
    clicks: wish.clicks ?? clickWish.value,
    rounds: [roundOf(0, part)],
  });
}

export const startOrStop = (): void => (running.value ? stop() : withCaution(start));

export function stop(): void {
  const was = mode.value;
  if (was === null) return;
  mode.value = null;
  player.stop();
  player.setFader("program", false);
  heardChannels.value = null;
  climbs.value = new Map();
  if (was === "run") endRun();
  for (const [key, seconds] of played) {
    const part = parts.value.find((one) => one.key === key);
    if (part !== undefined)
      record(tallies.value.get(key) ?? emptyTally(part), seconds, roundsOf(key), scoreFor(key));
  }
}

/** Rounds of a part whose music is over; of a run the part of the whole that was heard. */
function roundsOf(key: string): number {
  if (lastRun.value !== null) return Math.min(1, lastRun.value.seconds / wholeSeconds());
  return rounds.value.filter((one) => one.part.key === key && one.round.number <= over).length;
}

/** Of the whole at its written tempo; never 0. */
export const wholeSeconds = (): number => Math.max(1, opened.value?.performance.endSeconds ?? 1);

function endRun(): void {
  const whole = parts.value.at(-1);
  if (whole === undefined) return;
  lastRun.value = { seconds: played.get(whole.key) ?? 0, slips };
  worked(Math.round(roundsOf(whole.key) * (whole.strokes + whole.clicks)));
}

/** What comes after what is heard, as it would be now. */
function planNext(anew = false): void {
  const last = rounds.value.at(-1);
  if (last === undefined) return;
  const number = last.round.number + 1;
  if (anew || upcoming?.number !== number) upcoming = { number, part: draw(last.part) ?? last.part };
  player.plan([roundOf(number, upcoming.part)]);
}

player.whenRound((frame, round) => {
  if (mode.value !== "drill") return;
  const part = upcoming?.number === round.number ? upcoming.part : rounds.value.at(-1)?.part;
  if (part === undefined) return;
  // A round that was taken back, since something changed, is told again.
  const before = rounds.value.filter((one) => one.round.number < round.number);
  rounds.value = [...before, { frame, round, part, judged: null, climb: climbOf(part.key) }];
  planNext();
});

/** The part of the round to come; null where the same is played again. */
export const nextPart = computed((): Part | null => {
  const last = rounds.value.at(-1);
  const now = heardRound.value;
  if (last === undefined || now === null) return null;
  if (last.round.number > now.round.number) return last.part;
  return upcoming?.part ?? null;
});

/** One press: of a round, or of a run as a whole. */
export function judge(judged: Judged): void {
  const whole = mode.value === "run" ? parts.value.at(-1) : undefined;
  if (whole !== undefined) {
    const [reached, failedAt] = judged === "good" ? [100, null] : [null, 100];
    const [good, bad] = judged === "good" ? [1, 0] : [0, 1];
    tallies.value = new Map([[whole.key, { part: whole, good, bad, reached, failedAt }]]);
    return;
  }
  const one = roundToJudge.value;
  if (one === undefined) return;
  judgeRound(one, judged);
  planNext();
}

export function changeTempo(by: number): void {
  if (!drill.value.climbs) {
    drill.value = { ...drill.value, tempo: Math.max(25, Math.min(200, drill.value.tempo + by)) };
  } else {
    const part = heardRound.value?.part ?? chosenParts()[0];
    if (part === undefined) return;
    const { climb } = drill.value;
    if (running.value) shiftTempo(part, by);
    else
      drill.value = {
        ...drill.value,
        climb: { ...climb, start: Math.max(25, Math.min(climb.ceiling, climb.start + by)) },
      };
  }
  planNext();
}

/** The part that is practised, one on or back in the list; heard from the next round on. */
export function choose(key: string | null): void {
  chosenKey.value = key;
  bag.empty();
  planNext(true);
}
export function step(by: 1 | -1): void {
  const keys = parts.value.map(({ key }) => key);
  const at = keys.indexOf(chosenParts()[0]?.key ?? "");
  choose(keys[(at + by + keys.length) % keys.length] ?? null);
}

/** Milliseconds of `performance.now()`. */
let lastTick = 0;
/** Follows what is heard; called every animation frame while a drill runs. */
export function tick(): void {
  const frame = player.frameNow();
  const heard = player.heardNow();
  const time = performance.now();
  const since = Math.min(0.25, (time - lastTick) / 1_000);
  lastTick = time;
  if (frame === null || heard === null) return;
  const now = rounds.value.findLast((one) => one.frame <= frame) ?? null;
  const whole = mode.value === "run" ? parts.value.at(-1) : undefined;
  if (whole !== undefined && !heard.countingIn) played.set(whole.key, (played.get(whole.key) ?? 0) + since);
  if (now !== null && !heard.countingIn && !heard.resting)
    played.set(now.part.key, (played.get(now.part.key) ?? 0) + since);
  if (now?.round.number !== heardRound.value?.round.number || now?.judged !== heardRound.value?.judged)
    heardRound.value = now;
  for (const one of rounds.value) {
    const ended = one.round.number < (now?.round.number ?? 0) || (heard.resting && one === now);
    if (ended && one.round.number > over) finished(one);
  }
  counting.value = heard.countingIn;
  resting.value = heard.resting;
}

/** The music of a round is over. */
function finished(one: Begun): void {
  over = one.round.number;
  worked(one.part.strokes + one.part.clicks);
  const judged = takeScore(one);
  if (judged === null || one.judged !== null) return;
  judgeRound(one, judged);
  planNext();
}

// Where the sound ends by itself (no connection, the part is gone), so does the drill.
let was = false;
effect(() => {
  const on = player.playing.value || player.starting.value;
  if (was && !on && running.peek()) stop();
  was = on;
});
