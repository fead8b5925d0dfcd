/**
 * The player's own sound beside the program's, either or both, from any bar on; slower, it sinks in pitch as a record
 * does. The playhead goes over the rows of the recording as it is heard.
 */
import { effect, signal } from "@preact/signals";
import type { Recording } from "../../schemas/recording.ts";
import type { Place } from "../../schemas/soundWire.ts";
import { keepInSight } from "../audio/follow.ts";
import * as player from "../audio/player.ts";
import { underWay } from "../audio/playing.ts";
import { absolute } from "../rehearse/drills.ts";
import { placeAt, secondsAt } from "../parts/seconds.ts";
import { hidePlayhead, movePlayhead, stackOf } from "../rows/playhead.ts";
import type { Opened } from "../state/opened.ts";
import { level } from "../state/settings.ts";
import { opened } from "../state/shown.ts";
import { soundOf } from "./kept.ts";

type Whose = "own" | "meant";
export const listening = signal(false);
export const whose = signal<Whose | "both">("both");
export const slowed = signal(1);

/** What the playhead knows the rows of a section by. */
export const stackIdOf = (section: string): string => `recording ${section}`;

const RATE = 48_000;
/** Seconds from the press to the first sound, in which it fades in. */
const SOON = 0.1;
/** Two sounds together are as loud as one of them. */
const TOGETHER = Math.SQRT1_2;

interface Heard {
  readonly recording: Recording;
  readonly context: AudioContext;
  readonly gains: Readonly<Record<Whose, GainNode>>;
  readonly sources: readonly AudioBufferSourceNode[];
  /** So many seconds of the recording were over at this time of the context. */
  since: { readonly seconds: number; readonly time: number };
}
let heard: Heard | null = null;
/** Counts what was asked for, so that what comes too late is not begun. */
let wish = 0;

interface Sounds {
  readonly recording: Recording;
  readonly routine: Opened["routine"];
  readonly buffers: Readonly<Record<Whose, AudioBuffer>>;
}
/** Of the recording that was listened to last, as the routine was then. */
let kept: Sounds | null = null;

function balance(): void {
  if (heard === null) return;
  const all = level.value ** 2 * (whose.value === "both" ? TOGETHER : 1);
  for (const one of ["own", "meant"] as const)
    heard.gains[one].gain.setTargetAtTime(
      whose.value === one || whose.value === "both" ? all : 0,
      heard.context.currentTime,
      0.03,
    );
}
whose.subscribe(balance);
level.subscribe(balance);

/** Seconds of the recording that are over. */
const secondsNow = ({ since, context }: Heard): number =>
  since.seconds + Math.max(0, context.currentTime - since.time) * pace;

let pace = slowed.value;
slowed.subscribe((wanted) => {
  if (heard !== null) {
    heard.since = { seconds: secondsNow(heard), time: heard.context.currentTime };
    for (const source of heard.sources) source.playbackRate.value = wanted;
  }
  pace = wanted;
});

export function stopListening(): void {
  wish++;
  for (const source of heard?.sources ?? []) source.stop();
  void heard?.context.close();
  heard = null;
  if (listening.value) hidePlayhead();
  listening.value = false;
}
/** With the screen go the sounds, which may be large. */
export function leaveListening(): void {
  stopListening();
  kept = null;
}

async function soundsOf(recording: Recording, mine: number): Promise<Sounds["buffers"] | null> {
  const routine = opened.value?.routine;
  if (routine === undefined) return null;
  if (kept?.recording === recording && kept.routine === routine) return kept.buffers;
  kept = null;
  const own = await soundOf(recording.id, "own");
  const meant = own === null ? null : await soundOf(recording.id, "meant");
  if (own === null || meant === null) return null;
  const reader = new OfflineAudioContext(1, 1, RATE);
  const buffers = { own: await reader.decodeAudioData(own), meant: await reader.decodeAudioData(meant) };
  if (mine !== wish) return null;
  kept = { recording, routine, buffers };
  return buffers;
}

/** @param from where in the music; its start where left out */
export async function listen(recording: Recording, from: Place = recording.range.from): Promise<void> {
  stopListening();
  const mine = wish;
  const buffers = await soundsOf(recording, mine);
  const now = opened.value;
  if (buffers === null || now === null) return;
  if (underWay.value) player.stop();
  const context = new AudioContext({ sampleRate: RATE });
  const gains = { own: new GainNode(context, { gain: 0 }), meant: new GainNode(context, { gain: 0 }) };
  const start = context.currentTime + SOON;
  const { range, speed, allowedMs } = recording;
  const between = secondsAt(now, absolute(now, from)) - secondsAt(now, absolute(now, range.from));
  const seconds = Math.max(0, between / speed);
  // What was allowed for is skipped, so that the two stand as they were compared.
  const skip = { own: Math.max(0, seconds + allowedMs / 1000), meant: seconds };
  const sources = (["own", "meant"] as const).map((one) => {
    const source = new AudioBufferSourceNode(context, { buffer: buffers[one], playbackRate: slowed.value });
    source.connect(gains[one]).connect(context.destination);
    source.start(start, skip[one]);
    return source;
  });
  heard = { recording, context, gains, sources, since: { seconds, time: start } };
  sources[1]!.onended = () => {
    if (heard?.context === context) stopListening();
  };
  balance();
  listening.value = true;
  requestAnimationFrame(follow);
}

function follow(): void {
  const now = opened.value;
  if (heard === null || now === null) return;
  requestAnimationFrame(follow);
  const { range, speed } = heard.recording;
  const start = secondsAt(now, absolute(now, range.from));
  const { section, at } = placeAt(now, start + secondsNow(heard) * speed);
  const id = stackIdOf(now.routine.sections[section]?.id ?? "");
  movePlayhead(id, at);
  const stack = stackOf(id);
  if (stack !== undefined) keepInSight(stack, at);
}

// One sound at a time: the routine's, or the recording's.
effect(() => {
  if (underWay.value && listening.peek()) stopListening();
});
