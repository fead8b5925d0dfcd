/** The player's own sound beside the program's, either or both; slower, it sinks in pitch as a record does. */
import { signal } from "@preact/signals";
import type { Recording } from "../../schemas/recording.ts";
import { level } from "../state/settings.ts";
import { soundOf } from "./kept.ts";

export const listening = signal(false);
export const whose = signal<"own" | "meant" | "both">("both");
export const slowed = signal(1);

let context: AudioContext | null = null;
let gains: Record<"own" | "meant", GainNode> | null = null;
let sources: AudioBufferSourceNode[] = [];

function balance(): void {
  if (context === null || gains === null) return;
  for (const one of ["own", "meant"] as const)
    gains[one].gain.setTargetAtTime(
      whose.value === one || whose.value === "both" ? level.value ** 2 : 0,
      context.currentTime,
      0.03,
    );
}
whose.subscribe(balance);
level.subscribe(balance);
slowed.subscribe((pace) => {
  for (const source of sources) source.playbackRate.value = pace;
});

export function stopListening(): void {
  for (const source of sources) source.stop();
  sources = [];
  void context?.close();
  context = null;
  listening.value = false;
}

export async function listen(recording: Recording): Promise<void> {
  stopListening();
  const [own, meant] = [await soundOf(recording.id, "own"), await soundOf(recording.id, "meant")];
  if (own === null || meant === null) return;
  const now = new AudioContext({ sampleRate: 48_000 });
  context = now;
  const buffers = { own: await now.decodeAudioData(own), meant: await now.decodeAudioData(meant) };
  gains = { own: new GainNode(now, { gain: 0 }), meant: new GainNode(now, { gain: 0 }) };
  balance();
  const start = now.currentTime + 0.1;
  // What was allowed for is skipped, so that the two stand as they were compared.
  const skip = Math.max(0, recording.allowedMs / 1000);
  sources = (["own", "meant"] as const).map((one) => {
    const source = new AudioBufferSourceNode(now, { buffer: buffers[one], playbackRate: slowed.value });
    source.connect(gains![one]).connect(now.destination);
    source.start(start, one === "own" ? skip : 0);
    return source;
  });
  sources[1]!.onended = () => {
    if (context === now) stopListening();
  };
  listening.value = true;
}
