/** Files brought and taken away: packed routines, phrases, and routine files; by a button, or dropped on the page. */
import { signal } from "@preact/signals";
import { PhrasesFile, phrasesFile, type MyPhrase } from "../../schemas/phrases.ts";
import { FORMAT } from "../../schemas/routine.ts";
import { fetchWithBearer } from "../state/access.ts";
import { isMidi, read } from "../export/bring.ts";
import { saveFile } from "../parts/saveFile.ts";
import { askJson, sentenceOf } from "../state/ask.ts";
import { ask, Sorry } from "../state/connection.ts";
import { goTo } from "../state/place.ts";
import { folder, openRoutine } from "../state/opening.ts";
import { opened } from "../state/shown.ts";
import { intoRoutine, withoutRecording } from "./shelf.ts";

/** What became of the file that was brought last, in sentences; the first one says it. */
export const brought = signal<{ readonly good: boolean; readonly sentences: readonly string[] } | null>(null);
export const bringing = signal(false);
export const KINDS = ".zip,.json,application/zip,application/json";
/** As the server takes them. */
const LARGEST_ZIP = 256 * 1024 * 1024;
const LARGEST_JSON = 32 * 1024 * 1024;

const tell = (good: boolean, ...sentences: string[]): void => {
  brought.value = { good, sentences };
};

export const giveAwayPhrases = (phrases: readonly MyPhrase[], name: string): void =>
  saveFile(
    new Blob([phrasesFile(phrases.map(withoutRecording))], { type: "application/json" }),
    `${name.replace(/[<>:"/\\|?*]/g, "-")}.phrases.json`,
  );

/** The open routine with the sounds that it plays. */
export async function giveAwayPacked(): Promise<void> {
  const name = opened.value?.name;
  if (name === undefined) return;
  try {
    const answer = await fetchWithBearer(`/routines/${encodeURIComponent(name)}/packed.zip`);
    if (answer.ok) saveFile(await answer.blob(), `${name}.zip`);
    else tell(false, `${name} could not be packed: ${await sentenceOf(answer)}`);
  } catch (error) {
    tell(false, `${name} could not be packed. ${error instanceof Error ? error.message : String(error)}`);
  }
}

export async function bring(files: readonly File[]): Promise<void> {
  bringing.value = true;
  try {
    for (const file of files) await bringOne(file);
  } catch (error) {
    tell(false, error instanceof Sorry ? error.message : "The file could not be read. Try again.");
  } finally {
    bringing.value = false;
  }
}

async function bringOne(file: File): Promise<void> {
  if (/\.zip$/i.test(file.name)) return bringPacked(file);
  if (isMidi(file) && opened.value !== null) {
    goTo("export", "bring");
    return read(opened.value.name, file);
  }
  if (!/\.json$/i.test(file.name)) {
    tell(
      false,
      `${file.name} is neither a packed routine (.zip), nor a file of phrases or a routine (.json), nor MIDI (.mid).`,
    );
    return;
  }
  if (file.size > LARGEST_JSON) {
    tell(false, `${file.name} is larger than 32 MiB, which no routine is.`);
    return;
  }
  const text = await file.text();
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    tell(false, `${file.name} is no JSON: it may be cut off. Get it again.`);
    return;
  }
  const phrases = PhrasesFile.safeParse(value);
  if (phrases.success) {
    intoRoutine(phrases.data.phrases.map(withoutRecording));
    tell(true, `${file.name} was brought: ${phrases.data.phrases.map(({ name }) => name).join(", ")}.`);
    return;
  }
  const { format } = (value ?? {}) as { format?: unknown };
  if (format === FORMAT) return bringRoutine(file.name.replace(/(\.routine)?\.json$/i, ""), text);
  const issue = phrases.error.issues[0];
  tell(
    false,
    `${file.name} holds neither phrases nor a routine${format === undefined ? "" : `: ${issue?.path.join(", ")} is not as it should be`}.`,
  );
}

async function bringRoutine(wished: string, text: string): Promise<void> {
  const taken = new Set(folder.value?.routines.map(({ name }) => name.toLowerCase()));
  let name = wished;
  for (let number = 2; taken.has(name.toLowerCase()); number++) name = `${wished} ${number}`;
  await ask({ type: "create", name, content: { text } });
  await openRoutine(name);
  tell(true, `${name} was brought, and is open.`);
}

async function bringPacked(file: File): Promise<void> {
  if (file.size > LARGEST_ZIP) {
    tell(false, `${file.name} is larger than 256 MiB. Leave some sounds out of it.`);
    return;
  }
  const got = await askJson<{ name: string; notes?: string[] }>("/packed", {
    method: "POST",
    headers: { "content-type": "application/zip" },
    body: file,
  });
  if ("why" in got) {
    tell(false, `${file.name} could not be brought. ${got.why}`);
    return;
  }
  const said = got.answer;
  await openRoutine(said.name);
  tell(true, `${said.name} was brought, and is open.`, ...(said.notes ?? []));
}

/** A file may be dropped anywhere on the page; where something else takes files, that goes first. */
export function takeDrops(): void {
  const holds = (event: DragEvent): boolean => event.dataTransfer?.types.includes("Files") ?? false;
  addEventListener("dragover", (event) => {
    if (holds(event)) event.preventDefault();
  });
  addEventListener("drop", (event) => {
    if (!holds(event) || event.defaultPrevented) return;
    event.preventDefault();
    void bring([...(event.dataTransfer?.files ?? [])]);
  });
}
