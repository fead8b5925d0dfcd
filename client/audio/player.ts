/**
 * Playing, as the page sees it: asks the server for plays by the thread that feeds the audio thread (feed.worker.ts),
 * and says at any moment which place in the music comes out of the loudspeaker.
 */
import { signal } from "@preact/signals";
import {
  SoundFromServer,
  type Round,
  type SoundFromPage,
  type SoundPageMessage,
} from "../../schemas/soundWire.ts";
import { SAMPLE_RATE } from "../../schemas/sound.ts";
import { extraLatency, level } from "../state/settings.ts";
import { Course, type Heard } from "./course.ts";
import { Feed } from "./feed.ts";
import type { FaderBy } from "./handGate.ts";
import type { MidiTold } from "./midiLine.ts";
import { OutputClock } from "./outputClock.ts";
import workletUrl from "./play.worklet.ts?worker&url";
import type { FromWorklet, Levels, ToWorklet } from "./workletMessages.ts";

/** Frames of silence before a play that sends MIDI, so that its first messages are handed over before their time: 51 ms. */
const AFTER = 19 * 128;
/** Milliseconds between stamps while a play is awaited. */
const STAMPS_EVERY = 10;

export const playing = signal(false);
/** The play was asked for, and its sound has not begun. */
export const starting = signal(false);
/** A sentence, where it cannot be played. */
export const soundTrouble = signal<string | null>(null);
export const preparing = signal<string | null>(null);
export const underruns = signal(0);
/** What was asked for with the next group, beat or bar, in words; null: nothing is to come. */
export const coming = signal<string | null>(null);
/** How long the server takes to render, against how long it plays; null: not said yet. */
export const renderLoad = signal<number | null>(null);

let context: AudioContext | null = null;
let master: GainNode | null = null;
let node: AudioWorkletNode | null = null;
let feed: Feed | null = null;
let play = 0;
let report: FromWorklet | null = null;
let onRound: (frame: number, round: Round) => void = () => {};
let fader: Extract<ToWorklet, { type: "fader" }> = { type: "fader", by: "program", ticks: false };
/** The frame at which what was asked for is heard; null: not known yet. */
let comesAt: number | null = null;
const course = new Course();
const outputClock = new OutputClock();
let midiWanted = false;
let onMidi: (said: MidiTold) => void = () => {};
let onReport: () => void = () => {};
let onStop: () => void = () => {};
let levels: Levels = { hands: 1, others: 1, beat: 1, clicks: 1 };

/** Sets the loudness along a short slope, so that it never jumps. */
function followLevel(): void {
  if (context !== null && master !== null)
    // Squared: equal ways of the slider sound about equally far.
    master.gain.setTargetAtTime(level.value ** 2, context.currentTime, 0.03);
}
level.subscribe(followLevel);

let onBroken: (place: Heard | null) => void = () => {};
/** Called with what was heard last, where a play broke off by itself. */
export const whenBroken = (tell: typeof onBroken): void => {
  onBroken = tell;
};
function broken(why: string): void {
  const place = heardNow();
  say({ type: "stop", play });
  quiet();
  onBroken(place);
  soundTrouble.value = why;
}

/** Milliseconds without a word of the audio thread after which it is woken, and looks after which the play is over. */
const SILENT = 1_500;
const MOST_SILENT = 4;
let lastWord = 0;
let silentLooks = 0;
/** The machine slept, or the device went away: the output is woken, and where that does not help, it is said. */
function look(): void {
  if (!playing.value || context === null || performance.now() - lastWord < SILENT) {
    silentLooks = 0;
    return;
  }
  silentLooks += 1;
  if (silentLooks < MOST_SILENT) void context.resume().catch(() => {});
  else
    broken("The sound stopped, because the output of this machine takes none. See to it, then play again.");
}

let setting: Promise<Feed> | null = null;
async function ready(): Promise<Feed> {
  // Where it failed, nothing is left half made: the next play begins anew, when the server is there again.
  setting ??= setUp().catch((error: unknown) => {
    setting = null;
    throw error;
  });
  const feeding = await setting;
  if (context?.state !== "running") await context?.resume();
  return feeding;
}

async function setUp(): Promise<Feed> {
  const made = new AudioContext({ sampleRate: SAMPLE_RATE, latencyHint: "interactive" });
  try {
    await made.audioWorklet.addModule(workletUrl);
  } catch {
    void made.close();
    throw new Error("The sound could not be made ready. See whether the server still runs, then play again.");
  }
  context = made;
  // Another program took the device, or a lid was closed: as soon as it can be, it goes on.
  made.onstatechange = () => {
    if (made.state === "running") return;
    outputClock.forget();
    if (playing.value) void made.resume().catch(() => {});
  };
  setInterval(look, 1_000);
  master = new GainNode(made, { gain: 0 });
  node = new AudioWorkletNode(made, "countercut-player", {
    numberOfInputs: 0,
    numberOfOutputs: 1,
    outputChannelCount: [2],
  });
  node.connect(master).connect(made.destination);
  node.port.onmessage = ({ data }: MessageEvent<FromWorklet>) => heard(data);
  const { port1, port2 } = new MessageChannel();
  toWorklet({ type: "feed", port: port1 }, [port1]);
  feed = new Feed(port2, { said, head: (head) => head.play === play && course.add(head), begun, lost });
  toWorklet({ type: "levels", levels });
  toWorklet(fader);
  followLevel();
  return feed;
}

function toWorklet(message: ToWorklet, transfer: Transferable[] = []): void {
  node?.port.postMessage(message, transfer);
}

/** Who moves the fader of the record's voice, and whether the program's openings tick. */
export function setFader(by: FaderBy, ticks: boolean): void {
  fader = { type: "fader", by, ticks };
  toWorklet(fader);
}
/** The user's own fader: heard from the next block of the audio thread on. */
export const moveFader = (open: boolean): void => toWorklet({ type: "mine", open });
/** Called with the MIDI of the frames to come, each time the audio thread reports, and when play stops. */
export function whenMidi(tell: typeof onMidi, due: () => void, stopped: () => void): void {
  onMidi = tell;
  onReport = due;
  onStop = stopped;
}
/** Whether plays bring MIDI with them: those that begin, and the one that goes on. */
export function wantMidi(wanted: boolean): void {
  if (wanted === midiWanted) return;
  midiWanted = wanted;
  if (playing.value || starting.value) set({ midi: wanted });
}
/** Milliseconds of `performance.now()` at which a frame of the play is heard, without the jitter of stamps. */
export function timeOf(frame: number): number | null {
  if (report === null || !playing.value) return null;
  return outputClock.at((frame - report.frame + report.contextFrame) / SAMPLE_RATE);
}

/** Frame of the play at which the music begins, after the count-in; null: not known yet. */
export const beginsAt = (): number | null => course.begins;

/** Called when a round is on its way, with the frame of the play at which it begins. */
export const whenRound = (tell: (frame: number, round: Round) => void): void => {
  onRound = tell;
};

export function setLevels(next: Levels): void {
  levels = next;
  toWorklet({ type: "levels", levels });
}

const say = (message: SoundFromPage): void => feed?.say(message);

function lost(): void {
  if (playing.value || starting.value)
    broken("The sound stopped, because the connection to the server broke. Play again when it is back.");
}

function said(message: SoundFromServer): void {
  switch (message.type) {
    case "sorry":
      if (message.play !== null && message.play !== play) break;
      soundTrouble.value = message.message;
      quiet();
      break;
    case "preparing":
      preparing.value = message.done ? null : message.what;
      break;
    case "switched":
      if (message.play === play) comesAt = message.frame;
      break;
    case "midi":
      if (message.play === play) onMidi(message);
      break;
    case "round":
      if (message.play === play) onRound(message.frame, message.round);
      break;
    case "load":
      if (message.play === play) renderLoad.value = message.part;
      break;
    case "end":
      break;
  }
}

function begun(of: number): void {
  if (of !== play) return;
  lastWord = performance.now();
  // In this order, so that nobody sees it stopped in between.
  playing.value = true;
  starting.value = false;
}

function seeStamp(): void {
  const stamp = context?.getOutputTimestamp();
  if (stamp?.contextTime !== undefined && stamp.performanceTime !== undefined)
    outputClock.see(stamp.contextTime, stamp.performanceTime);
}

function heard(said: FromWorklet): void {
  if (said.play !== play) return;
  if (said.type === "mine") return;
  report = said;
  lastWord = performance.now();
  seeStamp();
  onReport();
  underruns.value = said.underruns;
  if (comesAt !== null && comesAt <= said.frame) nothingComes();
  if (said.over) {
    onStop();
    nothingComes();
    playing.value = false;
    say({ type: "stop", play });
  }
}

export type PlayWish = Omit<SoundPageMessage<"play">, "type" | "play">;

/** @throws Error with a sentence for the user */
export async function start(wish: PlayWish): Promise<void> {
  soundTrouble.value = null;
  underruns.value = 0;
  if (playing.value || starting.value) say({ type: "stop", play });
  onStop();
  toWorklet({ type: "stop", play });
  starting.value = true;
  playing.value = false;
  play += 1;
  const mine = play;
  try {
    const feeding = await ready();
    await feeding.connected();
    if (mine !== play) return;
    feeding.play(play, midiWanted ? AFTER : 0);
  } catch (error) {
    starting.value = false;
    soundTrouble.value = error instanceof Error ? error.message : String(error);
    return;
  }
  const stamps = setInterval(() => {
    seeStamp();
    if (!starting.value) clearInterval(stamps);
  }, STAMPS_EVERY);
  course.clear();
  report = null;
  nothingComes();
  say({ type: "play", play, ...wish, ...(midiWanted ? { midi: true } : {}) });
}

function quiet(): void {
  onStop();
  nothingComes();
  toWorklet({ type: "stop", play });
  playing.value = false;
  starting.value = false;
  report = null;
}

export function stop(): void {
  say({ type: "stop", play });
  quiet();
  play += 1;
}

type WithoutPlay<Message> = Omit<Message, "type" | "play">;
export const set = (what: WithoutPlay<SoundPageMessage<"set">>): void => say({ type: "set", play, ...what });
/** @param words for where it goes, said while that is to come */
export function seek(
  to: SoundPageMessage<"seek">["to"],
  when: NonNullable<SoundPageMessage<"seek">["when"]>,
  words: string,
): void {
  toCome(when, words);
  say({ type: "seek", play, to, when });
}
/** The rounds to come of a drill. */
export const plan = (rounds: SoundPageMessage<"rounds">["rounds"]): void =>
  say({ type: "rounds", play, rounds });
/** @param words for what comes, said while it is to come */
export function next(
  material: SoundPageMessage<"next">["material"],
  when: SoundPageMessage<"next">["when"],
  words: string,
): void {
  toCome(when, words);
  say({ type: "next", play, material, when });
}
/** What is to come is not wanted after all. */
export function keep(): void {
  say({ type: "keep", play });
  nothingComes();
}
function toCome(when: "now" | "group" | "beat" | "bar", words: string): void {
  nothingComes();
  if (when !== "now") coming.value = `With the next ${when}: ${words}`;
}
function nothingComes(): void {
  coming.value = null;
  comesAt = null;
}
export const soundDraft = (edit: SoundPageMessage<"draft">["edit"]): void =>
  say({ type: "draft", play, edit });
/** The frame of the play that is heard at a moment (of `performance.now()`), now unless said; null: none. */
export function frameNow(at = performance.now()): number | null {
  if (context === null || report === null || !playing.value) return null;
  const stamp = context.getOutputTimestamp();
  const since = stamp.performanceTime === undefined ? 0 : (at - stamp.performanceTime) / 1000;
  // Where the browser gives no stamp yet, what was rendered less the latency it states.
  const time =
    stamp.contextTime === undefined || stamp.contextTime === 0
      ? context.currentTime - (context.outputLatency || context.baseLatency)
      : stamp.contextTime + since;
  const frame = report.frame + (time - extraLatency.value / 1000) * SAMPLE_RATE - report.contextFrame;
  return Math.max(0, Math.min(frame, report.frame + report.ahead));
}

/** What is heard at a moment (of `performance.now()`), now unless said. */
export function heardNow(at = performance.now()): Heard | null {
  const frame = frameNow(at);
  return frame === null ? null : course.at(frame);
}

/** The device's name, where the browser tells it: only after a microphone was allowed. */
export async function outputName(): Promise<string | null> {
  const devices = (await navigator.mediaDevices?.enumerateDevices().catch(() => [])) ?? [];
  const outputs = devices.filter(({ kind, label }) => kind === "audiooutput" && label !== "");
  return (outputs.find(({ deviceId }) => deviceId === "default") ?? outputs[0])?.label ?? null;
}
/** Samples a second at which the output runs; null before the first play. */
export const outputRate = (): number | null => context?.sampleRate ?? null;

/** For measuring: how far the stamps stand apart, and what is in hand, in milliseconds. */
export function soundFigures(): { ahead: number; latency: number; underruns: number } | null {
  if (context === null || report === null) return null;
  return {
    ahead: (report.ahead / SAMPLE_RATE) * 1000,
    latency: (context.outputLatency || context.baseLatency) * 1000,
    underruns: report.underruns,
  };
}
