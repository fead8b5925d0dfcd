/** The sounds of the open routine: sent to its folder, fetched back and decoded once to be drawn. */
import { effect, signal } from "@preact/signals";
import { wavBlob } from "../../schemas/wavBytes.ts";
import { fetchWithBearer } from "../state/access.ts";
import { sentenceOf } from "../state/ask.ts";
import { link } from "../state/connection.ts";
import { opened } from "../state/shown.ts";
import { decode, type Sound } from "./decode.ts";

/** What is going on, to be shown; null: nothing. */
export const work = signal<string | null>(null);
export const trouble = signal<string | null>(null);

const pathOf = (routine: string, file: string): string =>
  `/routines/${encodeURIComponent(routine)}/sounds/${encodeURIComponent(file)}`;

/** By routine and file. A sound that cannot be had stands as the sentence that says why. */
const sounds = signal<ReadonlyMap<string, Sound | string>>(new Map());
const asked = new Set<string>();
const keyOf = (routine: string, file: string): string => `${routine}\n${file}`;
function keep(routine: string, file: string, sound: Sound | string): void {
  sounds.value = new Map(sounds.peek()).set(keyOf(routine, file), sound);
}

/** The sound of a file, or why it cannot be had; null while it is fetched. */
export function soundOf(file: string): Sound | string | null {
  const routine = opened.value?.name;
  if (routine === undefined) return null;
  const known = sounds.value.get(keyOf(routine, file));
  if (known !== undefined) return known;
  if (!asked.has(keyOf(routine, file))) {
    asked.add(keyOf(routine, file));
    void fetched(routine, file).then((sound) => keep(routine, file, sound));
  }
  return null;
}

// What could not be had is asked for again when the server is back.
effect(() => {
  if (link.value !== "open") return;
  const there = [...sounds.peek()].filter(([, sound]) => typeof sound !== "string");
  if (there.length === sounds.peek().size) return;
  asked.clear();
  for (const [key] of there) asked.add(key);
  sounds.value = new Map(there);
});

async function fetched(routine: string, file: string): Promise<Sound | string> {
  try {
    const answer = await fetchWithBearer(pathOf(routine, file));
    if (answer.status === 404)
      return `${file} is not in the routine’s folder of sounds. Bring it again; until then it is silent.`;
    if (!answer.ok) return `${file} could not be had (${answer.status}). Load the page again.`;
    return await decode(await answer.arrayBuffer(), file);
  } catch (error) {
    return error instanceof Error ? error.message : String(error);
  }
}

/** A name for the routine's folder that none of `taken` has: plain letters, so that it is safe on every system. */
export function freeName(name: string, taken: readonly string[]): string {
  const plain =
    name
      .replace(/\.[^.]*$/, "")
      .normalize("NFKD")
      .replace(/[^A-Za-z0-9 ._-]+/g, "")
      .replace(/^[ .]+|[ .]+$/g, "")
      .slice(0, 60) || "sound";
  const used = new Set(taken.map((one) => one.toLowerCase()));
  for (let number = 1; ; number++) {
    const file = `${plain}${number === 1 ? "" : ` ${number}`}.wav`;
    if (!used.has(file.toLowerCase())) return file;
  }
}

/**
 * A sound from elsewhere in the program put into the open routine's folder, under a free name; one that lies there
 * already, byte for byte, is not put in again. @returns its name there. @throws Error with a sentence
 */
export async function putSound(wished: string, bytes: Blob): Promise<string> {
  const routine = opened.value?.name ?? "";
  const there = await files(routine);
  if (there.includes(wished)) {
    const before = await fetchWithBearer(pathOf(routine, wished));
    if (before.ok && (await sameBytes(await before.blob(), bytes))) return wished;
  }
  const file = freeName(wished, there);
  const answer = await fetchWithBearer(pathOf(routine, file), {
    method: "PUT",
    headers: { "content-type": "audio/wav" },
    body: bytes,
  });
  if (!answer.ok) throw new Error(`${wished} could not be kept beside the routine (${answer.status}).`);
  asked.delete(keyOf(routine, file));
  return file;
}

/** The bytes of a sound of the open routine. @throws Error with a sentence */
export async function takeSound(file: string): Promise<Blob> {
  const answer = await fetchWithBearer(pathOf(opened.value?.name ?? "", file));
  if (!answer.ok) throw new Error(`${file} is not in the routine’s folder of sounds. Bring it again.`);
  return answer.blob();
}

async function sameBytes(a: Blob, b: Blob): Promise<boolean> {
  if (a.size !== b.size) return false;
  const [one, other] = await Promise.all([a.arrayBuffer(), b.arrayBuffer()]);
  const left = new Uint8Array(one);
  const right = new Uint8Array(other);
  return left.every((byte, at) => byte === right[at]);
}

async function files(routine: string): Promise<string[]> {
  const answer = await fetchWithBearer(`/routines/${encodeURIComponent(routine)}/sounds`);
  if (!answer.ok) throw new Error(`The sounds could not be listed (${answer.status}). Try again.`);
  return ((await answer.json()) as { sounds: { file: string }[] }).sounds.map(({ file }) => file);
}

/**
 * Decodes a file and puts it into the open routine's folder of sounds, under a name that is free.
 * @returns its name there; null where it did not work: `trouble` says why
 */
export async function bring(file: File): Promise<{ file: string; sound: Sound } | null> {
  const routine = opened.value?.name;
  if (routine === undefined || work.value !== null) return null;
  trouble.value = null;
  try {
    work.value = `Reading ${file.name} …`;
    const sound = await decode(await file.arrayBuffer(), file.name);
    const name = freeName(file.name, await files(routine));
    work.value = `Keeping ${name} beside the routine …`;
    const answer = await fetchWithBearer(pathOf(routine, name), {
      method: "PUT",
      headers: { "content-type": "audio/wav" },
      body: wavBlob(sound.channels, sound.rate, 24),
    });
    if (!answer.ok) throw new Error(`${file.name} could not be kept: ${await sentenceOf(answer)}`);
    keep(routine, name, sound);
    return { file: name, sound };
  } catch (error) {
    trouble.value = error instanceof Error ? error.message : String(error);
    return null;
  } finally {
    work.value = null;
  }
}
