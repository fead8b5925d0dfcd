/** The clips of the open routine, as the server makes them, and what stands in one. */
import { signal } from "@preact/signals";
import type { ClipAccount } from "../../schemas/answers.ts";
import { askJson, askLines } from "../state/ask.ts";

export interface Clip {
  readonly file: string;
  /** Id of its section; null for the lead-in and the whole. */
  readonly section: string | null;
  readonly strand: string;
  readonly player: number | null;
  readonly bytes: number;
  readonly exact: boolean;
}
export type ClipList =
  /** `done`: 0 to 1; null before that is known. */
  | { readonly state: "loading"; readonly done: number | null }
  | { readonly state: "stopped" }
  | { readonly state: "trouble"; readonly why: string }
  | {
      readonly state: "there";
      /** The routine. */
      readonly of: string;
      /** Counts the times that it was loaded. */
      readonly time: number;
      readonly clips: readonly Clip[];
      readonly exact: boolean;
      readonly ppq: number;
      readonly leftOut: number;
    };
export const clipList = signal<ClipList>({ state: "loading", done: null });
/** Those of another routine are none of this one's. */
export const clipsOf = (name: string): ClipList => {
  const now = clipList.value;
  return now.state === "there" && now.of !== name ? { state: "loading", done: null } : now;
};

export const base = (name: string): string => `/routines/${encodeURIComponent(name)}`;
export const clipPath = (name: string, file: string): string =>
  `${base(name)}/clips/${encodeURIComponent(file)}`;

let making: AbortController | null = null;

/** Ends what is made of the clips; what is there stays. */
export function stopClips(): void {
  making?.abort();
  making = null;
  if (clipList.peek().state === "loading") clipList.value = { state: "stopped" };
}

let times = 0;
export async function loadClips(name: string): Promise<void> {
  making?.abort();
  const mine = new AbortController();
  making = mine;
  if (clipsOf(name).state !== "there") clipList.value = { state: "loading", done: null };
  const got = await askLines<Omit<Extract<ClipList, { state: "there" }>, "state" | "of" | "time">>(
    `${base(name)}/clips?told`,
    (done) => {
      if (making === mine && clipList.peek().state === "loading") clipList.value = { state: "loading", done };
    },
    mine.signal,
  ).catch((error: unknown) => {
    if (mine.signal.aborted) return null;
    throw error;
  });
  if (got === null || making !== mine) return;
  making = null;
  clipList.value =
    "why" in got
      ? { state: "trouble", why: got.why }
      : { state: "there", of: name, time: ++times, ...got.answer };
}

export const accountOf = (name: string, file: string) =>
  askJson<ClipAccount>(`${clipPath(name, file)}/events`);
