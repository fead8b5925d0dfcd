/** WAV files of the routine, taken one after the other: with progress, a way to stop, and what was measured. */
import { signal } from "@preact/signals";
import { fetchWithBearer } from "../state/access.ts";
import { saveFile } from "../parts/saveFile.ts";
import { askJson, sentenceOf } from "../state/ask.ts";
import { base } from "./clips.ts";

export const PARTS = ["mix", "scratch", "beat", "click"] as const;
export type Part = (typeof PARTS)[number];

export interface Taking {
  readonly part: Part;
  readonly state: "waits" | "comes" | "done" | "stopped" | "trouble";
  /** 0 to 1. */
  readonly done: number;
  readonly file: string | null;
  /** LUFS and dBTP; null for silence, undefined while it is not known. */
  readonly loudness?: number | null;
  readonly truePeak?: number | null;
  readonly why?: string;
}
export const takings = signal<readonly Taking[]>([]);
let control: AbortController | null = null;

const set = (part: Part, change: Partial<Taking>): void => {
  takings.value = takings.value.map((one) => (one.part === part ? { ...one, ...change } : one));
};

export const stopTaking = (): void => control?.abort();

/** @param section id; "": the whole routine */
export async function take(name: string, section: string, parts: readonly Part[]): Promise<void> {
  stopTaking();
  const mine = new AbortController();
  control = mine;
  takings.value = parts.map((part) => ({ part, state: "waits", done: 0, file: null }));
  for (const part of parts) {
    if (mine.signal.aborted) break;
    await takeOne(name, section, part, mine.signal);
  }
  if (control === mine) {
    control = null;
    takings.value = takings.value.map((one) =>
      one.state === "waits" || one.state === "comes" ? { ...one, state: "stopped" } : one,
    );
  }
}

async function takeOne(name: string, section: string, part: Part, signal: AbortSignal): Promise<void> {
  const query = `part=${part}${section === "" ? "" : `&section=${encodeURIComponent(section)}`}`;
  set(part, { state: "comes" });
  try {
    const answer = await fetchWithBearer(`${base(name)}/sound.wav?${query}`, { signal });
    if (!answer.ok || answer.body === null) {
      set(part, { state: "trouble", why: await sentenceOf(answer) });
      return;
    }
    const size = Number(answer.headers.get("content-length") ?? 0);
    const file =
      /filename="([^"]+)"/.exec(answer.headers.get("content-disposition") ?? "")?.[1] ?? `${part}.wav`;
    set(part, { file });
    const pieces: Uint8Array<ArrayBuffer>[] = [];
    let got = 0;
    const reader = answer.body.getReader();
    for (;;) {
      const { value, done } = await reader.read();
      if (done) break;
      pieces.push(value);
      got += value.length;
      set(part, { done: size === 0 ? 0 : got / size });
    }
    saveFile(new Blob(pieces, { type: "audio/wav" }), file);
    set(part, { state: "done", done: 1 });
    const measured = await askJson<{ integrated: number | null; truePeak: number | null }>(
      `${base(name)}/loudness?${query}`,
    );
    if ("answer" in measured)
      set(part, { loudness: measured.answer.integrated, truePeak: measured.answer.truePeak });
  } catch {
    if (signal.aborted) set(part, { state: "stopped" });
    else
      set(part, { state: "trouble", why: "It broke off: the server does not answer any more. Try again." });
  }
}
