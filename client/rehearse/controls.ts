/**
 * What steers a rehearsal: keys, MIDI notes, controllers and programs, buttons and axes of a pad; each learnt by
 * pressing it. A key's commands go through the list of actions; the rest, and the fader, are heard here.
 */
import { signal } from "@preact/signals";
import { type MidiEvent, onMidi } from "../audio/midiIn.ts";
import { onPad, type PadEvent } from "../audio/gamepads.ts";
import { moveFader } from "../audio/output.ts";
import { keyOf, keyWords } from "../state/actions.ts";
import { opened } from "../state/shown.ts";
import { heardRound } from "./rounds.ts";
import { bindings, type Command, COMMANDS, faderManner } from "./settings.ts";
import { tapped } from "./tapping.ts";

/** Waits for the next press, to be this command's. */
export const learning = signal<Command | null>(null);
/** Where the user's fader stands; null before it was moved. */
export const faderOpen = signal<boolean | null>(null);

/** One press, release or position of whatever it is. */
export interface Press {
  /** As the bindings have it. */
  readonly source: string;
  /** 0 to 1. */
  readonly value: number;
  /** It has positions, and is not only down or up. */
  readonly slides: boolean;
  readonly time: number;
}

export const pressOfMidi = ({ kind, channel, number, value, time }: MidiEvent): Press => ({
  source: `${kind} ${channel} ${number}`,
  value: value / 127,
  slides: kind === "control",
  time,
});
const pressOfPad = ({ kind, pad, number, value, time }: PadEvent): Press => ({
  source: `${kind} ${pad} ${number}`,
  value,
  slides: kind === "axis",
  time,
});

const KIND_WORDS: Readonly<Record<string, (channel: string, number: string) => string>> = {
  note: (channel, number) => `MIDI note ${number}, channel ${channel}`,
  control: (channel, number) => `MIDI controller ${number}, channel ${channel}`,
  program: (channel, number) => `MIDI program ${number}, channel ${channel}`,
  button: (pad, number) =>
    `pad button ${Number(number) + 1}${pad === "0" ? "" : ` of pad ${Number(pad) + 1}`}`,
  axis: (pad, number) => `pad axis ${Number(number) + 1}${pad === "0" ? "" : ` of pad ${Number(pad) + 1}`}`,
};
export function sourceWords(source: string): string {
  const [kind = "", ...rest] = source.split(" ");
  if (kind === "key") return keyWords(rest.join(" "));
  return KIND_WORDS[kind]?.(rest[0] ?? "", rest[1] ?? "") ?? source;
}

/** The keys of a command, as actions have them. */
export const keysOf = (command: Command): string[] =>
  bindings.value[command].flatMap((source) => (source.startsWith("key ") ? [source.slice(4)] : []));

/** A source serves one command; of a command one source of each kind (keys, and all else) is kept. */
export function learnt(all: typeof bindings.value, command: Command, source: string): typeof bindings.value {
  const isKey = (one: string): boolean => one.startsWith("key ");
  const others = Object.entries(all).map(([name, sources]) => [
    name,
    sources.filter((one) => one !== source && (name !== command || isKey(one) !== isKey(source))),
  ]);
  const next = Object.fromEntries(others) as Record<Command, string[]>;
  next[command] = [...next[command], source];
  return next;
}

/**
 * Where a fader's slide opens: it is shut at the right end where the turntable stands on the left, since the record is
 * heard with the fader on its own side; the other way round with the turntable on the right, or with a reversed fader.
 */
export function shutAtRight(
  rig: { turntable?: string | undefined; reversedFader?: boolean | undefined } = {},
): boolean {
  return ((rig.turntable ?? "left") === "left") !== (rig.reversedFader ?? false);
}

function slid(position: number): boolean {
  const { cutIn } = faderManner.value;
  const fromShut = shutAtRight(opened.value?.routine.rig) ? 1 - position : position;
  // A little way back before it shuts, so that a trembling slide does not chatter.
  return fromShut > (faderOpen.value === true ? cutIn * 0.7 : cutIn);
}

function setFader(open: boolean, time: number): void {
  if (faderOpen.value === open) return;
  faderOpen.value = open;
  moveFader(open);
  if (open) tapped(time, heardRound.value?.round.speed ?? 1);
}

/** What a key, a button or a finger that is held does, and lets go of. @param time of `performance.now()` */
export const holdFader = (down: boolean, time: number): void =>
  setFader((faderManner.value.held === "opens") === down, time);

/** Down, so far: a command is done once, when it goes over the middle. */
const down = new Map<string, boolean>();

function pressed({ source, value, slides, time }: Press, run: (command: Command) => void): void {
  const was = down.get(source) ?? false;
  const is = value >= 0.5;
  down.set(source, is);
  if (learning.value !== null) {
    // A slide that is moved at all is meant; a button when it goes down.
    if (slides ? learning.value === "fader" || (is && !was) : is) learn(source);
    return;
  }
  if (bindings.value.fader.includes(source)) {
    if (slides) setFader(slid(value), time);
    else holdFader(value > 0, time);
    return;
  }
  // A program has no release.
  if ((!is || was) && !source.startsWith("program ")) return;
  const command = (Object.keys(COMMANDS) as Command[]).find((one) => bindings.value[one].includes(source));
  if (command !== undefined) run(command);
}

function learn(source: string): void {
  const command = learning.value;
  learning.value = null;
  if (command !== null) bindings.value = learnt(bindings.value, command, source);
}

/** The key that holds the fader at the moment, by its place on the keyboard: Shift may change its name meanwhile. */
let held: string | null = null;
const typing = (target: EventTarget | null): boolean =>
  target instanceof HTMLElement &&
  (target.isContentEditable || ["INPUT", "TEXTAREA", "SELECT"].includes(target.tagName));

/** Listens to everything that steers, while a screen wants it. @returns the way to stop */
export function listenToControls(run: (command: Command) => void): () => void {
  const keyDown = (event: KeyboardEvent): void => {
    if (learning.value !== null) {
      event.preventDefault();
      event.stopPropagation();
      if (event.key === "Escape") learning.value = null;
      else if (!["Shift", "Control", "Alt", "Meta", "Tab"].includes(event.key)) learn(`key ${keyOf(event)}`);
      return;
    }
    if (typing(event.target) || !bindings.value.fader.includes(`key ${keyOf(event)}`)) return;
    event.preventDefault();
    event.stopPropagation();
    if (event.repeat) return;
    held = event.code;
    holdFader(true, event.timeStamp);
  };
  const keyUp = (event: KeyboardEvent): void => {
    if (event.code === held) letGo(event.timeStamp);
  };
  const letGo = (time = performance.now()): void => {
    if (held === null) return;
    held = null;
    holdFader(false, time);
  };
  const blurred = (): void => letGo();
  // Before the list of actions hears it.
  addEventListener("keydown", keyDown, true);
  addEventListener("keyup", keyUp, true);
  addEventListener("blur", blurred);
  const stopMidi = onMidi((event) => pressed(pressOfMidi(event), run));
  const stopPad = onPad((event) => pressed(pressOfPad(event), run));
  holdFader(false, performance.now());
  return () => {
    removeEventListener("keydown", keyDown, true);
    removeEventListener("keyup", keyUp, true);
    removeEventListener("blur", blurred);
    stopMidi();
    stopPad();
    learning.value = null;
  };
}
