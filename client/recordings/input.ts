/** The microphone or line input: let in only when it is asked for, its level shown, its sound kept while it is wanted. */
import { signal } from "@preact/signals";
import type { Captured } from "../audio/capture.worklet.ts";
import workletUrl from "../audio/capture.worklet.ts?worker&url";
import { OutputClock } from "../audio/outputClock.ts";

export const RATE = 48_000;

export const inputState = signal<"shut" | "asking" | "open">("shut");
/** Why there is none; a sentence. */
export const inputTrouble = signal<string | null>(null);
export const inputs = signal<readonly { readonly id: string; readonly name: string }[]>([]);
export const inputId = signal("");
/** Greatest sample of the last tenth of a second, 0 to 1. */
export const inputPeak = signal(0);

let context: AudioContext | null = null;
let stream: MediaStream | null = null;
/** With the moment of `performance.now()` at which each piece came in, by the clock as it stood then. */
let pieces: { readonly time: number; readonly samples: Float32Array }[] | null = null;
/** What is to be done before the input goes while its sound is kept. */
let going: (() => void) | null = null;
let clock = new OutputClock();
let watch: ReturnType<typeof setInterval> | undefined;
/** Counts what was asked for: what the browser lets in after the screen was left is shut at once. */
let wish = 0;

const WHY: Readonly<Record<string, string>> = {
  NotAllowedError:
    "The browser was not allowed to use the input. Allow the microphone for this page in the browser’s settings, then open it again.",
  NotFoundError: "No microphone or line input was found. Connect one, then open it again.",
  NotReadableError:
    "The input is used by another program, or does not answer. Close the other program, then open it again.",
};

export async function openInput(): Promise<void> {
  shutInput();
  const mine = wish;
  inputState.value = "asking";
  inputTrouble.value = null;
  try {
    const came = await navigator.mediaDevices.getUserMedia({
      // What makes speech clearer would cut into a record's sound.
      audio: {
        echoCancellation: false,
        noiseSuppression: false,
        autoGainControl: false,
        ...(inputId.value === "" ? {} : { deviceId: { exact: inputId.value } }),
      },
    });
    if (mine !== wish) {
      for (const track of came.getTracks()) track.stop();
      return;
    }
    stream = came;
    context = new AudioContext({ sampleRate: RATE, latencyHint: "interactive" });
    await context.audioWorklet.addModule(workletUrl);
    await context.resume();
    const node = new AudioWorkletNode(context, "countercut-capture", { numberOfOutputs: 0 });
    node.port.onmessage = ({ data }: MessageEvent<Captured>) => {
      inputPeak.value = data.samples.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
      pieces?.push({ time: timeOf(data.frame), samples: data.samples });
    };
    context.createMediaStreamSource(stream).connect(node);
    stream.getAudioTracks()[0]?.addEventListener("ended", () => {
      shutInput();
      inputTrouble.value = "The input was taken away. Connect it again, then open it.";
    });
    const devices = await navigator.mediaDevices.enumerateDevices();
    if (mine !== wish) return;
    inputs.value = devices
      .filter(({ kind }) => kind === "audioinput")
      .map(({ deviceId, label }, index) => ({ id: deviceId, name: label || `Input ${index + 1}` }));
    watch = setInterval(seeClock, 20);
    inputState.value = "open";
  } catch (error) {
    if (mine !== wish) return;
    shutInput();
    inputTrouble.value =
      WHY[error instanceof DOMException ? error.name : ""] ??
      "The input could not be opened. Try another one.";
  }
}

function seeClock(): void {
  const stamp = context?.getOutputTimestamp();
  if (stamp?.contextTime !== undefined && stamp.contextTime > 0 && stamp.performanceTime !== undefined)
    clock.see(stamp.contextTime, stamp.performanceTime);
}

export function shutInput(): void {
  going?.();
  wish += 1;
  clearInterval(watch);
  for (const track of stream?.getTracks() ?? []) track.stop();
  void context?.close();
  stream = null;
  context = null;
  pieces = null;
  clock = new OutputClock();
  inputPeak.value = 0;
  inputState.value = "shut";
}

/** @param ending called where the input is about to go meanwhile: what came in until then is still there */
export function keepSound(ending: () => void): void {
  pieces = [];
  going = ending;
}
export function dropSound(): void {
  pieces = null;
  going = null;
}

function timeOf(frame: number): number {
  const zero = clock.at(0) ?? performance.now() - (context?.currentTime ?? 0) * 1000;
  return zero + (frame / RATE) * 1000;
}

/** Samples by which a piece may seem to lie away from the end of the one before, and still follow it at once. */
const JITTER = 0.02 * RATE;

/**
 * What came in between two moments of `performance.now()`; zeros where nothing did. Pieces follow each other without a
 * gap, but where the machine was too busy to listen: then each goes where it belongs by the time at which it came.
 */
export function soundBetween(from: number, to: number): Float32Array {
  const out = new Float32Array(Math.max(0, Math.round(((to - from) / 1000) * RATE)));
  let end: number | null = null;
  for (const { time, samples } of pieces ?? []) {
    const by = Math.round(((time - from) / 1000) * RATE);
    const at: number = end !== null && Math.abs(by - end) < JITTER ? end : by;
    end = at + samples.length;
    if (at >= out.length || end <= 0) continue;
    out.set(samples.subarray(Math.max(0, -at), Math.min(samples.length, out.length - at)), Math.max(0, at));
  }
  return out;
}

/** Milliseconds that the browser states for the way out, where the input is open. */
export const statedMs = (): number =>
  context === null ? 0 : 1000 * (context.outputLatency || context.baseLatency);
