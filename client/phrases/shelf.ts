/** The user's own phrases and beats, kept in the folder for all its routines: fetched, kept, removed. */
import { signal } from "@preact/signals";
import type { SingleEdit } from "../../schemas/edit.ts";
import type { MyPhrase } from "../../schemas/phrases.ts";
import type { Beat, Pattern } from "../../schemas/routine.ts";
import { fetchWithBearer, NO_ANSWER } from "../state/access.ts";
import { askJson, sentenceOf } from "../state/ask.ts";
import { freeId, idsOf } from "../../schemas/freeId.ts";
import { putSound, takeSound } from "../sounds/soundFiles.ts";
import { change } from "../state/change.ts";
import { said } from "../state/said.ts";
import { routineAhead, taken } from "../state/turn.ts";

export type Shelf =
  | { readonly state: "loading" }
  | { readonly state: "trouble"; readonly why: string }
  | { readonly state: "there"; readonly phrases: readonly MyPhrase[] };
export const shelf = signal<Shelf>({ state: "loading" });

async function fetched(path: string, init?: RequestInit): Promise<boolean> {
  const got = await askJson<{ phrases: MyPhrase[] }>(path, init);
  if ("answer" in got) shelf.value = { state: "there", phrases: got.answer.phrases };
  else if (shelf.value.state === "there") said.value = got.why;
  else shelf.value = { state: "trouble", why: got.why };
  return "answer" in got;
}

const pathOf = (id: string): string => `/my-phrases/${encodeURIComponent(id)}`;
export const loadShelf = (): Promise<boolean> => fetched("/my-phrases");
const put = (phrase: MyPhrase): Promise<boolean> =>
  fetched(pathOf(phrase.id), {
    method: "PUT",
    headers: { "content-type": "application/json" },
    body: JSON.stringify(phrase),
  });
/** Changes what is kept about one that is there. */
export const changeOnShelf = put;
/** Keeps one of the routine's own; the recording of a beat goes with it. */
export async function keepOnShelf(phrase: MyPhrase): Promise<boolean> {
  const file = recordingOf(phrase);
  if (file === null) return put(phrase);
  try {
    const answer = await fetchWithBearer(`${pathOf(phrase.id)}/sound`, {
      method: "PUT",
      headers: { "content-type": "audio/wav" },
      body: await takeSound(file),
    });
    if (answer.ok) return await put(phrase);
    said.value = await sentenceOf(answer);
  } catch (error) {
    said.value = error instanceof Error ? error.message : NO_ANSWER;
  }
  return false;
}
export const takeOffShelf = (id: string): Promise<boolean> => fetched(pathOf(id), { method: "DELETE" });

/** What is kept of one of the routine's own, under the id that it has on the shelf already where it is the same one. */
export function asMine(thing: { readonly pattern: Pattern } | { readonly beat: Beat }): MyPhrase {
  const all = shelf.value.state === "there" ? shelf.value.phrases : [];
  const one = "pattern" in thing ? thing.pattern : thing.beat;
  const name = one.name ?? one.id;
  const known = all.find((mine) => mine.name === name && "pattern" in mine === "pattern" in thing);
  const id = known?.id ?? freeId(one.id, idsOf(all));
  const labels = known?.labels === undefined ? {} : { labels: known.labels };
  if ("pattern" in thing) return { id, name, ...labels, pattern: thing.pattern } as MyPhrase;
  return { id, name, ...labels, beat: thing.beat } as MyPhrase;
}

/** The file of a recorded beat; null where there is no recording. */
export const recordingOf = (mine: MyPhrase): string | null =>
  "beat" in mine ? (mine.beat.recorded?.file ?? null) : null;

/** A file of phrases carries no sounds. */
export const withoutRecording = (mine: MyPhrase): MyPhrase => {
  if (!("beat" in mine)) return mine;
  const { recorded: _, ...drawn } = mine.beat;
  return { ...mine, beat: drawn };
};

const sameApartFromId = (a: object, b: object): boolean =>
  JSON.stringify({ ...a, id: "" }) === JSON.stringify({ ...b, id: "" });

/** Puts one that is kept into the routine, its recording first. */
export async function fromShelf(mine: MyPhrase): Promise<void> {
  const file = recordingOf(mine);
  if (file === null || !("beat" in mine) || mine.beat.recorded === undefined) {
    intoRoutine([mine]);
    return;
  }
  try {
    const answer = await fetchWithBearer(`${pathOf(mine.id)}/sound`);
    if (!answer.ok) throw new Error(await sentenceOf(answer));
    const there = await putSound(file, await answer.blob());
    intoRoutine([{ ...mine, beat: { ...mine.beat, recorded: { ...mine.beat.recorded, file: there } } }]);
  } catch (error) {
    said.value = error instanceof Error ? error.message : NO_ANSWER;
  }
}

/** Puts phrases and beats into the routine, as one edit; what it has already is passed over. */
export function intoRoutine(these: readonly MyPhrase[]): void {
  const routine = routineAhead();
  if (routine === null) return;
  const ids = { patterns: taken("pattern"), beats: taken("beat") };
  const edits = these.flatMap((mine): SingleEdit[] => {
    if ("pattern" in mine) {
      const pattern = { ...mine.pattern, name: mine.name } as Pattern;
      if (routine.patterns.some((one) => sameApartFromId(one, pattern))) return [];
      const id = freeId(pattern.id, ids.patterns);
      ids.patterns.add(id);
      return [{ kind: "add-pattern", pattern: { ...pattern, id } }];
    }
    const beat = { ...mine.beat, name: mine.name } as Beat;
    if (routine.beats.some((one) => sameApartFromId(one, beat))) return [];
    const id = freeId(beat.id, ids.beats);
    ids.beats.add(id);
    return [{ kind: "add-beat", beat: { ...beat, id } }];
  });
  const [first] = edits;
  if (first === undefined) {
    said.value = "The routine has this already.";
    return;
  }
  const words = `Put in ${these[0]?.name ?? ""}${edits.length > 1 ? `, and ${edits.length - 1} more` : ""}`;
  change(edits.length === 1 ? first : { kind: "batch", words: words.slice(0, 200), edits }, words);
  said.value = `${words}.`;
}
