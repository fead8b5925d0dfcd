/** What was practised of the open routine: asked from the folder, added to it, kept meanwhile where it cannot be. */
import { effect, signal } from "@preact/signals";
import type { PracticeEntry, PracticeScore } from "../../schemas/practice.ts";
import type { Recording } from "../../schemas/recording.ts";
import { ask, link, Sorry } from "../state/connection.ts";
import { opened } from "../state/shown.ts";
import { type Part, workIn } from "./drills.ts";
import { sendEach } from "./sendEach.ts";
import type { Tally } from "./rounds.ts";
import { drill } from "./settings.ts";
import { fOf } from "./taps.ts";
import { hasHome, toSend, type Unsent, unsent, wasSent } from "./unsentPractice.ts";

export const entries = signal<readonly PracticeEntry[]>([]);
/** Lines of the file that could not be read. */
export const unread = signal(0);
/** Why it could not be read or kept; a sentence. */
export const practiceTrouble = signal<string | null>(null);

let sending = false;

async function sendOne(one: Unsent): Promise<void> {
  const answer = await ask<"practice">({ type: "practised", ...one });
  wasSent(one);
  if (answer.name === opened.value?.name) entries.value = answer.entries;
}

async function send(): Promise<void> {
  if (sending) return;
  sending = true;
  try {
    const why = await sendEach(
      () => unsent.peek().filter(hasHome),
      sendOne,
      () => link.value === "open",
    );
    practiceTrouble.value =
      why === null ? null : `${why} What was practised is kept in this browser, and added when it can be.`;
  } finally {
    sending = false;
  }
}

async function load(name: string): Promise<void> {
  try {
    const answer = await ask<"practice">({ type: "practice", name });
    if (opened.value?.name !== name) return;
    entries.value = answer.entries;
    unread.value = answer.unread;
    practiceTrouble.value = null;
  } catch (error) {
    if (!(error instanceof Sorry)) throw error;
    practiceTrouble.value = error.message;
    // Asked again when the connection is back.
    if (known === name) known = null;
  }
}

/** Rounds below which, without a judgement, nothing is worth an entry. */
const LEAST_SECONDS = 5;

/** @param played seconds of music, @param rounds of it that were played to their end; of a run, the part of it */
export function record(
  { part, good, bad, reached, failedAt }: Tally,
  played: number,
  rounds: number,
  score: PracticeScore | undefined,
): void {
  const name = opened.value?.name;
  if (name === undefined || (good + bad === 0 && played < LEAST_SECONDS)) return;
  const tempo = (percent: number | null): number | null =>
    percent === null ? null : Math.round(part.tempo * percent) / 100;
  const entry: PracticeEntry = {
    id: crypto.randomUUID(),
    at: new Date().toISOString(),
    of: part.of,
    seconds: Math.round(played * 10) / 10,
    good,
    bad,
    reached: tempo(reached),
    failedAt: tempo(failedAt),
    written: part.tempo,
    strokes: Math.round(part.strokes * rounds),
    clicks: Math.round(part.clicks * rounds),
    ...(score === undefined ? {} : { score }),
  };
  add(name, entry);
}

/** The part of the onset measure from which a recording is a good round, where the drill says nothing else. */
const GOOD_FROM = 0.9;

/**
 * A recording that was compared: one round, judged by what was heard in it, and none where it was stopped before its
 * end. The same recording counts once.
 */
export function recordTake(part: Part, { id, at, seconds, speed, range, stopped, result }: Recording): void {
  const now = opened.value;
  if (now === null || result === null || result.lagMs === null) return;
  if (stopped === true && seconds < LEAST_SECONDS) return;
  const entryId = `recording ${id}`;
  if (entries.value.some((one) => one.id === entryId)) return;
  const score: PracticeScore = {
    by: "recording",
    expected: result.sounds.length,
    matched: result.matched,
    extra: result.extra.length,
    meanMs: result.lagMs,
    spreadMs: result.spreadMs,
  };
  const good = fOf(score) >= (drill.value.goodFrom || GOOD_FROM);
  const round = stopped !== true;
  const tempo = Math.round(100 * part.tempo * speed) / 100;
  add(now.name, {
    id: entryId,
    at,
    of: part.of,
    seconds: Math.round(10 * seconds) / 10,
    good: round && good ? 1 : 0,
    bad: round && !good ? 1 : 0,
    reached: round && good ? tempo : null,
    failedAt: round && !good ? tempo : null,
    written: part.tempo,
    ...workIn(now, range),
    score,
    recording: id,
  });
}

function add(name: string, entry: PracticeEntry): void {
  toSend(name, entry);
  // Shown at once; the answer brings the same.
  entries.value = [...entries.value, entry];
  void send();
}

let known: string | null = null;
effect(() => {
  const name = opened.value?.name ?? null;
  if (name === known || link.value !== "open") return;
  known = name;
  entries.value = [];
  unread.value = 0;
  if (name !== null) void load(name);
});
// Also when a routine that it waits for is there again, or it was given to another.
effect(() => {
  if (link.value === "open" && unsent.value.some(hasHome)) void send();
});
