/** The page's way out to the loudspeaker: the audio thread, how loud each voice is, and whose fader is heard. */
import { SAMPLE_RATE } from "../../schemas/sound.ts";
import { level } from "../state/settings.ts";
import type { FaderBy } from "./handGate.ts";
import workletUrl from "./play.worklet.ts?worker&url";
import type { FromWorklet, Levels, ToWorklet } from "./workletMessages.ts";

let context: AudioContext | null = null;
let master: GainNode | null = null;
let node: AudioWorkletNode | null = null;
let levels: Levels = { hands: 1, others: 1, beat: 1, clicks: 1 };
let fader: Extract<ToWorklet, { type: "fader" }> = { type: "fader", by: "program", ticks: false };

/** Null before the first play. */
export const output = (): AudioContext | null => context;

/**
 * @returns the end of the way by which blocks come to the audio thread
 * @throws Error with a sentence for the user
 */
export async function makeOutput(heard: (said: FromWorklet) => void): Promise<MessagePort> {
  const made = new AudioContext({ sampleRate: SAMPLE_RATE, latencyHint: "interactive" });
  try {
    await made.audioWorklet.addModule(workletUrl);
  } catch {
    void made.close();
    throw new Error("The sound could not be made ready. See whether the server still runs, then play again.");
  }
  context = made;
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
  toWorklet({ type: "levels", levels });
  toWorklet(fader);
  followLevel();
  return port2;
}

export function toWorklet(message: ToWorklet, transfer: Transferable[] = []): void {
  node?.port.postMessage(message, transfer);
}

/** Sets the loudness along a short slope, so that it never jumps. */
function followLevel(): void {
  if (context !== null && master !== null)
    // Squared: equal ways of the slider sound about equally far.
    master.gain.setTargetAtTime(level.value ** 2, context.currentTime, 0.03);
}
level.subscribe(followLevel);

export function setLevels(next: Levels): void {
  levels = next;
  toWorklet({ type: "levels", levels });
}
/** Who moves the fader of the record's voice, and whether the program's openings tick. */
export function setFader(by: FaderBy, ticks: boolean): void {
  fader = { type: "fader", by, ticks };
  toWorklet(fader);
}
/** The user's own fader: heard from the next block of the audio thread on. */
export const moveFader = (open: boolean): void => toWorklet({ type: "mine", open });

/** The device's name, where the browser tells it: only after a microphone was allowed. */
export async function outputName(): Promise<string | null> {
  const devices = (await navigator.mediaDevices?.enumerateDevices().catch(() => [])) ?? [];
  const outputs = devices.filter(({ kind, label }) => kind === "audiooutput" && label !== "");
  return (outputs.find(({ deviceId }) => deviceId === "default") ?? outputs[0])?.label ?? null;
}
