/**
 * Plays, as the page asks for them: begun, led while they go on, and ended. The server renders them, and the thread that
 * feeds the audio thread (feed.worker.ts) brings them.
 */
import type { Round, SoundFromPage, SoundFromServer, SoundPageMessage } from "../../schemas/soundWire.ts";
import { heardWord, keepAwake } from "./outputAwake.ts";
import type { Heard } from "./course.ts";
import { Feed } from "./feed.ts";
import { forgetPlay, heardNow, seeStamp, takeHead, takeReport } from "./heardNow.ts";
import type { MidiTold } from "./midiLine.ts";
import { makeOutput, output, toWorklet } from "./output.ts";
import { playing, preparing, renderLoad, soundTrouble, starting, underruns, underWay } from "./playing.ts";
import { comesWith, nothingComes, reached, toCome } from "./toCome.ts";
import type { FromWorklet } from "./workletMessages.ts";

/** Frames of silence before a play that sends MIDI, so that its first messages are handed over before their time: 51 ms. */
const AFTER = 19 * 128;
/** Milliseconds between stamps while a play is awaited. */
const STAMPS_EVERY = 10;

let feed: Feed | null = null;
/** Its number; what still comes of those before is passed over. */
let play = 0;
let midiWanted = false;

let onBroken: (place: Heard | null) => void = () => {};
let onRound: (frame: number, round: Round) => void = () => {};
let onMidi: (said: MidiTold) => void = () => {};
let onReport: () => void = () => {};
let onStop: () => void = () => {};
/** Called with what was heard last, where a play broke off by itself. */
export const whenBroken = (tell: typeof onBroken): void => {
  onBroken = tell;
};
/** Called when a round is on its way, with the frame of the play at which it begins. */
export const whenRound = (tell: typeof onRound): void => {
  onRound = tell;
};
/** Called with the MIDI of the frames to come, each time the audio thread reports, and when play stops. */
export function whenMidi(tell: typeof onMidi, due: () => void, stopped: () => void): void {
  onMidi = tell;
  onReport = due;
  onStop = stopped;
}

let setting: Promise<Feed> | null = null;
async function ready(): Promise<Feed> {
  // Where it failed, nothing is left half made: the next play begins anew, when the server is there again.
  setting ??= setUp().catch((error: unknown) => {
    setting = null;
    throw error;
  });
  const feeding = await setting;
  if (output()?.state !== "running") await output()?.resume();
  return feeding;
}
async function setUp(): Promise<Feed> {
  const audio = await makeOutput(heard);
  keepAwake(broken);
  feed = new Feed(audio, { said, head: (head) => head.play === play && takeHead(head), begun, lost });
  return feed;
}

const say = (message: SoundFromPage): void => feed?.say(message);

function said(message: SoundFromServer): void {
  if ("play" in message && message.play !== null && message.play !== play) return;
  switch (message.type) {
    case "sorry":
      soundTrouble.value = message.message;
      quiet();
      break;
    case "preparing":
      preparing.value = message.done ? null : message.what;
      break;
    case "switched":
      comesWith(message.frame);
      break;
    case "midi":
      onMidi(message);
      break;
    case "round":
      onRound(message.frame, message.round);
      break;
    case "load":
      renderLoad.value = message.part;
      break;
  }
}

function begun(of: number): void {
  if (of !== play) return;
  heardWord();
  // In this order, so that nobody sees it stopped in between.
  playing.value = true;
  starting.value = false;
}

function heard(said: FromWorklet): void {
  if (said.play !== play) return;
  if (said.type === "mine") return;
  heardWord();
  takeReport(said);
  onReport();
  underruns.value = said.underruns;
  reached(said.frame);
  if (said.over) {
    onStop();
    nothingComes();
    playing.value = false;
    say({ type: "stop", play });
  }
}

function broken(why: string): void {
  const place = heardNow();
  say({ type: "stop", play });
  quiet();
  onBroken(place);
  soundTrouble.value = why;
}
function lost(): void {
  if (underWay.value)
    broken("The sound stopped, because the connection to the server broke. Play again when it is back.");
}

export type PlayWish = Omit<SoundPageMessage<"play">, "type" | "play">;

/** Where it cannot be played, `soundTrouble` says why. */
export async function start(wish: PlayWish): Promise<void> {
  soundTrouble.value = null;
  underruns.value = 0;
  if (underWay.value) say({ type: "stop", play });
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
  forgetPlay();
  nothingComes();
  say({ type: "play", play, ...wish, ...(midiWanted ? { midi: true } : {}) });
}

function quiet(): void {
  onStop();
  nothingComes();
  toWorklet({ type: "stop", play });
  playing.value = false;
  starting.value = false;
  forgetPlay();
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
export const soundDraft = (edit: SoundPageMessage<"draft">["edit"]): void =>
  say({ type: "draft", play, edit });
/** Whether plays bring MIDI with them: those that begin, and the one that goes on. */
export function wantMidi(wanted: boolean): void {
  if (wanted === midiWanted) return;
  midiWanted = wanted;
  if (underWay.value) set({ midi: wanted });
}
