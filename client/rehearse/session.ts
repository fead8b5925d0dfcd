/**
 * A drill or a run from its start to its end: what is heard of it is followed, judged, and kept as practice. The server
 * plays the rounds that it is told; comingRound.ts decides which.
 */
import { effect } from "@preact/signals";
import { frameNow, heardNow } from "../audio/heardNow.ts";
import { setFader } from "../audio/output.ts";
import * as player from "../audio/player.ts";
import { underWay } from "../audio/playing.ts";
import { withCaution } from "../audio/caution.ts";
import { heardChannels } from "../audio/levels.ts";
import { clicks as clickWish } from "../audio/transport.ts";
import { opened } from "../state/shown.ts";
import { far } from "../far/shown.ts";
import { worked } from "./care.ts";
import { chosenKey, chosenParts, mixed } from "./choice.ts";
import type { Judged } from "./climb.ts";
import { draw, firstRound, forgetPlan, planNext } from "./comingRound.ts";
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
  judgeRound,
  shiftTempo,
  emptyTally,
} from "./rounds.ts";
import { endRun, forgetRun, lastRun, wholeSeconds } from "./run.ts";
import { drill } from "./settings.ts";
import { forgetTaps, scoreFor, takeScore } from "./tapping.ts";

/** Seconds of music by part: no signal, since they move with every frame. */
const played = new Map<string, number>();
/** The last round whose music is over. */
let over = -1;

function begin(wanted: "drill" | "run"): void {
  tallies.value = new Map();
  rounds.value = [];
  heardRound.value = null;
  forgetRun();
  forgetTaps();
  played.clear();
  over = -1;
  forgetPlan();
  far.value = true;
  mode.value = wanted;
}

/** The whole once, as on the stage: everything, at the tempo as it is written, after a count-in. */
export function perform(): void {
  const routine = opened.value;
  if (routine === null) return;
  begin("run");
  setFader("program", false);
  void player.start({
    material: { kind: "open", name: routine.name },
    from: null,
    loop: null,
    speed: 1,
    countIn: 1,
    clicks: clickWish.value,
  });
}

export function start(): void {
  const routine = opened.value;
  const part = draw();
  if (routine === null || part === undefined) return;
  begin("drill");
  // From now on it stays the same, whatever is due next.
  if (!mixed.value) chosenKey.value = part.key;
  climbs.value = new Map();
  const wish = soundFor(drill.value.heard);
  setFader(wish.by, wish.ticks);
  heardChannels.value = wish.channels;
  void player.start({
    material: { kind: "open", name: routine.name },
    from: null,
    loop: null,
    speed: 1,
    countIn: 0,
    clicks: wish.clicks ?? clickWish.value,
    rounds: [firstRound(part)],
  });
}

export const startOrStop = (): void => (running.value ? stop() : withCaution(start));

export function stop(): void {
  const was = mode.value;
  if (was === null) return;
  mode.value = null;
  player.stop();
  setFader("program", false);
  heardChannels.value = null;
  climbs.value = new Map();
  if (was === "run") endTheRun();
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

function endTheRun(): void {
  const whole = parts.value.at(-1);
  if (whole === undefined) return;
  endRun(played.get(whole.key) ?? 0);
  worked(Math.round(roundsOf(whole.key) * (whole.strokes + whole.clicks)));
}

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

/** Milliseconds of `performance.now()`. */
let lastTick = 0;
/** Follows what is heard; called every animation frame while a drill runs. */
export function tick(): void {
  const frame = frameNow();
  const heard = heardNow();
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
  const on = underWay.value;
  if (was && !on && running.peek()) stop();
  was = on;
});
