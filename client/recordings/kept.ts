/** The recordings in the folder: listed, brought, compared, shown, exported, put into the bin. */
import { effect, signal } from "@preact/signals";
import type { Recording, RecordingAbout, RecordingLine } from "../../schemas/recording.ts";
import { recordTake } from "../rehearse/practice.ts";
import { partNamed } from "../rehearse/plan.ts";
import { sendEach } from "../rehearse/sendEach.ts";
import { hasHome } from "../rehearse/unsentPractice.ts";
import { practiceKey } from "../../schemas/practice.ts";
import { saveFile } from "../parts/saveFile.ts";
import { fetchWithBearer } from "../state/access.ts";
import { askJson, jsonBody } from "../state/ask.ts";
import { link, Sorry } from "../state/connection.ts";
import { saved } from "../state/saved.ts";
import { opened } from "../state/shown.ts";
import { recording } from "./taking.ts";
import { hold, letGo, type Take, unkept } from "./unkept.ts";

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

const root = (name = opened.value?.name ?? ""): string => `/routines/${encodeURIComponent(name)}/recordings`;
const pathOf = (id: string, rest = ""): string => `${root()}/${encodeURIComponent(id)}${rest}`;

/** To be asked when an answer is there: it may come after another routine was opened, and belongs to the one before. */
function stillOpen(): () => boolean {
  const name = opened.value?.name;
  return () => opened.value?.name === name;
}

async function asked<Value>(path: string, init?: RequestInit): Promise<Value> {
  const got = await askJson<Value>(path, init);
  if ("why" in got) throw new Error(got.why);
  return got.answer;
}

/** @returns null where it did not come about, or was stopped */
async function during<Value>(
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

async function compared(made: Recording): Promise<void> {
  const here = stillOpen();
  await loadLines();
  const result = await during("Listening to what was played", (wanted) => compare(made.id, wanted));
  if (!here()) return;
  shownRecording.value = result ?? made;
  if (result !== null) practisedBy(result);
  await loadLines();
}

/** Puts it into the folder of its routine. @returns null where that did not come about, or was stopped */
const put = ({ name, about, played }: Omit<Take, "key">): Promise<Recording | null> =>
  during("Keeping the recording", (signal) =>
    played instanceof Blob
      ? asked<Recording>(`${root(name)}?about=${encodeURIComponent(JSON.stringify(about))}`, {
          method: "PUT",
          signal,
          headers: { "content-type": "audio/wav" },
          body: played,
        })
      : asked<Recording>(root(name), { ...jsonBody("POST", { about, times: played }), signal }),
  );

/** A file of the user's own: it stays where it was, whatever becomes of it here. */
export async function bring(about: RecordingAbout, file: Blob): Promise<void> {
  const name = opened.value?.name ?? "";
  const made = await put({ name, about, played: file });
  if (made !== null && opened.value?.name === name) await compared(made);
}

/** @throws Sorry where the folder did not take it: then it is held on */
async function keep(key: string): Promise<void> {
  const take = unkept.peek().find((one) => one.key === key);
  if (take === undefined) return;
  const made = await put(take);
  if (made === null) {
    const why = keptTrouble.value ?? "It was stopped before it was kept.";
    hold(take, why);
    throw new Sorry(why);
  }
  letGo(take);
  if (opened.value?.name === take.name) await compared(made);
}

let keeping = false;

/** What is held, one after the other, also what comes meanwhile; what the folder does not take stays. */
export async function keepHeld(): Promise<void> {
  // It would be kept twice.
  if (keeping) return;
  keeping = true;
  try {
    await sendEach(
      () =>
        unkept
          .peek()
          .filter(hasHome)
          .map(({ key }) => key),
      keep,
      () => link.value === "open",
    );
  } finally {
    keeping = false;
  }
}

/** What was just played in the open routine. @param played a WAV file, or seconds from the start */
export function keepPlayed(about: RecordingAbout, played: Take["played"]): Promise<void> {
  const name = opened.value?.name ?? "";
  hold({ key: crypto.randomUUID(), name, about, played }, "It waits until the server answers.");
  return keepHeld();
}

// When the server is there again, or the folder can be written again; but not while one plays.
effect(() => {
  const may = link.value === "open" && saved.value.state !== "cannot" && recording.value === "no";
  if (may && busy.peek() === null && unkept.peek().length > 0) void keepHeld();
});

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
