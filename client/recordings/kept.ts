/** The recordings in the folder: listed, compared, shown, exported, put into the bin. */
import { signal } from "@preact/signals";
import type { Recording, RecordingLine } from "../../schemas/recording.ts";
import { recordTake } from "../rehearse/practice.ts";
import { partNamed } from "../rehearse/plan.ts";
import { practiceKey } from "../../schemas/practice.ts";
import { saveFile } from "../parts/saveFile.ts";
import { fetchWithBearer } from "../state/access.ts";
import { askJson } from "../state/ask.ts";
import { opened } from "../state/shown.ts";

export const lines = signal<readonly RecordingLine[] | null>(null);
export const unread = signal(0);
export const shownRecording = signal<Recording | null>(null);
/** What goes on, and how to stop it. */
export interface Work {
  readonly words: string;
  /** 0 to 1; null where it is not known. */
  readonly done: number | null;
  stop(): void;
}
/** null: nothing. */
export const busy = signal<Work | null>(null);
export const keptTrouble = signal<string | null>(null);

export const root = (name = opened.value?.name ?? ""): string =>
  `/routines/${encodeURIComponent(name)}/recordings`;
const pathOf = (id: string, rest = ""): string => `${root()}/${encodeURIComponent(id)}${rest}`;

/** To be asked when an answer is there: it may come after another routine was opened, and belongs to the one before. */
function stillOpen(): () => boolean {
  const name = opened.value?.name;
  return () => opened.value?.name === name;
}

export async function asked<Value>(path: string, init?: RequestInit): Promise<Value> {
  const got = await askJson<Value>(path, init);
  if ("why" in got) throw new Error(got.why);
  return got.answer;
}

/** @returns null where it did not come about, or was stopped */
export async function during<Value>(
  words: string,
  act: (wanted: AbortSignal) => Promise<Value>,
): Promise<Value | null> {
  const control = new AbortController();
  busy.value = { words, done: null, stop: () => control.abort() };
  keptTrouble.value = null;
  try {
    return await act(control.signal);
  } catch (error) {
    if (!control.signal.aborted) keptTrouble.value = error instanceof Error ? error.message : String(error);
    return null;
  } finally {
    busy.value = null;
  }
}

export async function loadLines(): Promise<void> {
  const wanted = stillOpen();
  try {
    const found = await asked<{ recordings: RecordingLine[]; unread: number }>(root());
    if (!wanted()) return;
    // What could not be looked into can be now.
    if (lines.value === null) keptTrouble.value = null;
    lines.value = found.recordings;
    unread.value = found.unread;
  } catch (error) {
    if (wanted()) keptTrouble.value = (error as Error).message;
  }
}

/** A recording of a part that is practised is practice, too. */
function practisedBy(recording: Recording): void {
  const part = recording.of === undefined ? undefined : partNamed(practiceKey(recording.of));
  if (part !== undefined) recordTake(part, recording);
}

/** Milliseconds from one look at how far a comparison is to the next. */
const LOOK_EVERY = 400;

async function compare(id: string, wanted: AbortSignal): Promise<Recording> {
  const path = pathOf(id, "/compare");
  const look = setInterval(async () => {
    const far = await askJson<{ done: number }>(path, { signal: wanted }).catch(() => null);
    if (far !== null && "answer" in far && busy.value !== null && !wanted.aborted)
      busy.value = { ...busy.value, done: far.answer.done };
  }, LOOK_EVERY);
  return asked<Recording>(path, { method: "POST", signal: wanted }).finally(() => clearInterval(look));
}

export async function compared(made: Recording): Promise<void> {
  const here = stillOpen();
  await loadLines();
  const result = await during("Listening to what was played", (wanted) => compare(made.id, wanted));
  if (!here()) return;
  shownRecording.value = result ?? made;
  if (result !== null) practisedBy(result);
  await loadLines();
}

export async function show(id: string): Promise<void> {
  const here = stillOpen();
  const found = await during("Opening the recording", (signal) => asked<Recording>(pathOf(id), { signal }));
  if (found === null || !here()) return;
  if (found.result === null) await compared(found);
  else shownRecording.value = found;
}
export const compareAgain = (recording: Recording): Promise<void> => compared(recording);

export async function toBin(id: string): Promise<void> {
  await during("Putting it into the bin", () => asked(pathOf(id), { method: "DELETE" }));
  if (shownRecording.value?.id === id) shownRecording.value = null;
  await loadLines();
}

export async function soundOf(id: string, which: "own" | "meant"): Promise<ArrayBuffer | null> {
  return during("Fetching the sound", async (signal) => {
    const answer = await fetchWithBearer(pathOf(id, `/${which}.wav`), { signal });
    if (!answer.ok) throw new Error(`The sound could not be had (${answer.status}). Try again.`);
    return answer.arrayBuffer();
  });
}

export async function exportSound({ id, title }: Recording): Promise<void> {
  const bytes = await soundOf(id, "own");
  if (bytes === null) return;
  saveFile(new Blob([bytes], { type: "audio/wav" }), `${title} ${id}.wav`);
}
