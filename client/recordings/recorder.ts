/** A recording from count-in to result: play along, keep what comes in, bring it to the server, have it compared. */
import { signal } from "@preact/signals";
import type { HandsHeard, RecordedBy } from "../../schemas/recording.ts";
import { SAMPLE_RATE } from "../../schemas/sound.ts";
import { wavBlob } from "../../schemas/wavBytes.ts";
import { onMidi } from "../audio/midiIn.ts";
import { beginsAt, heardNow, timeOf } from "../audio/heardNow.ts";
import * as player from "../audio/player.ts";
import { underWay } from "../audio/playing.ts";
import { withCaution } from "../audio/caution.ts";
import { clicks, countIn, speed } from "../audio/transport.ts";
import { far } from "../far/shown.ts";
import type { Part } from "../rehearse/drills.ts";
import { partNamed, parts } from "../rehearse/plan.ts";
import { extraLatency } from "../state/settings.ts";
import { opened } from "../state/shown.ts";
import { stoppedRange } from "./reached.ts";
import { dropSound, inputState, keepSound, soundBetween, statedMs } from "./input.ts";
import { keepPlayed } from "./keeping.ts";
import { recording, taking } from "./taking.ts";

/** Key of the part; what is not there stands for the whole. */
export const what = signal("whole");
export const by = signal<Exclude<RecordedBy, "file">>("microphone");
export const hands = signal<HandsHeard>("both");
export const recordTrouble = signal<string | null>(null);

export const INPUT_FIRST = "Open the input first.";

/** Milliseconds after the end that still belong to it. */
const TAIL = 400;
/** Milliseconds of which there is something to be judged. */
const LEAST = 1000;
/** Keys that are played with; on the screen each is a pad too. */
export const KEYS: readonly string[] = ["f", "j"];

let finish: (() => void) | null = null;
let tapped: ((time: number) => void) | null = null;
/** A finger on a pad stands for a key. @param time of `performance.now()` */
export const tapPad = (time: number): void => tapped?.(time);

/** What is to be played; undefined where the routine has nothing, or has it no more. */
export const wanted = (): Part | undefined => partNamed(what.value) ?? parts.value.at(-1);

/** What a recording of it says of itself, before how it was made. */
export const aboutOf = ({ of, name, range }: Part) => ({
  of,
  title: of.kind === "join" ? `Join ${name}` : name,
  range,
});

/** Milliseconds from a sound to its place in the recording: stated by the browser, and measured beyond that. */
export const allowedMs = (): number => (by.value === "microphone" ? statedMs() + extraLatency.value : 0);

/** What each key, finger or note stands for. */
export const STANDS_FOR: Readonly<Record<HandsHeard, string>> = {
  both: "every sound",
  fader: "a cut of the fader",
  record: "a stroke of the record",
};
function tappingText(): string | null {
  if (by.value === "microphone") return null;
  const what = by.value === "keys" ? KEYS.map((key) => key.toUpperCase()).join(" or ") : "A note";
  return `${what} for ${STANDS_FOR[hands.value]}`;
}

function record(): void {
  const aim = wanted();
  const now = opened.value;
  if (recording.value !== "no" || aim === undefined || now === null) return;
  if (by.value === "microphone" && inputState.value !== "open") {
    recordTrouble.value = INPUT_FIRST;
    return;
  }
  recordTrouble.value = null;
  recording.value = "starting";
  far.value = true;
  const pace = speed.value;
  const count = { count: Math.max(1, countIn.value), by: "bar" as const };
  taking.value = { part: aim, countIn: count, speed: pace, tapping: tappingText() };
  const source = by.value;
  const times: number[] = [];
  const onKey = (event: KeyboardEvent): void => {
    if (!KEYS.includes(event.key.toLowerCase()) || event.repeat) return;
    event.preventDefault();
    event.stopPropagation();
    times.push(event.timeStamp);
  };
  if (source === "microphone") keepSound(done);
  if (source === "keys") {
    addEventListener("keydown", onKey, { capture: true });
    tapped = (time) => void times.push(time);
  }
  const stopMidi =
    source === "notes"
      ? onMidi(({ kind, value, time }) => void (kind === "note" && value > 0 && times.push(time)))
      : null;
  const sections = now.performance.sections;
  const end =
    (sections.find(({ performance: { id } }) => id === aim.range.to.section)?.start ?? 0) + aim.range.to.at;
  let start: number | null = null;
  let over: number | null = null;
  void player.start({
    material: { kind: "open", name: now.name },
    from: aim.range.from,
    loop: null,
    speed: pace,
    countIn: count.count,
    clicks: clicks.value,
  });
  const ends = (): void => {
    over = performance.now();
    setTimeout(done, TAIL);
  };
  const look = setInterval(() => {
    if (over !== null) return;
    if (!underWay.value) {
      ends();
      return;
    }
    const first = beginsAt();
    const heard = heardNow();
    // Known well by the end of the count-in; later it would take what was lost meanwhile for a later start.
    if (first !== null && recording.value === "starting") start = timeOf(first) ?? start;
    if (heard === null || heard.countingIn) return;
    recording.value = "on";
    if ((sections[heard.section]?.start ?? 0) + heard.at >= end) ends();
  }, 30);
  function done(): void {
    if (finish !== done) return;
    finish = null;
    clearInterval(look);
    removeEventListener("keydown", onKey, { capture: true });
    tapped = null;
    stopMidi?.();
    if (underWay.value) player.stop();
    recording.value = "no";
    taking.value = null;
    const from = start;
    const to = over ?? performance.now();
    const allowed = allowedMs();
    if (from === null || to - from - allowed < LEAST) {
      dropSound();
      recordTrouble.value = "It was stopped before anything was played, so nothing was kept.";
      return;
    }
    const played = (to - from) / 1000;
    const left = stoppedRange(now!, aim!.range, pace, played, played - allowed / 1000);
    const about = {
      ...aboutOf(aim!),
      ...(left === null ? {} : { range: left, stopped: true as const }),
      speed: pace,
      by: source,
      hands: source === "microphone" ? ("both" as const) : hands.value,
      allowedMs: allowed,
    };
    if (source === "microphone") {
      const sound = soundBetween(from, left === null ? to + TAIL : to);
      dropSound();
      void keepPlayed(about, wavBlob([sound], SAMPLE_RATE, 16));
    } else
      void keepPlayed(
        about,
        times.map((time) => (time - from) / 1000),
      );
  }
  finish = done;
}

export const stopRecording = (): void => finish?.();
/** Recording plays along: the caution about loudness comes before the first sound. */
export const recordOrStop = (): void => (recording.value === "no" ? withCaution(record) : stopRecording());
