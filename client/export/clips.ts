/** The clips of the open routine, as the server makes them, and what stands in one. */
import { signal } from "@preact/signals";
import type { ClipAccount } from "../../schemas/answers.ts";
import { askJson } from "../state/ask.ts";

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
  | { readonly state: "loading" }
  | { readonly state: "trouble"; readonly why: string }
  | {
      readonly state: "there";
      /** Counts the times that it was loaded. */
      readonly time: number;
      readonly clips: readonly Clip[];
      readonly exact: boolean;
      readonly ppq: number;
      readonly leftOut: number;
    };
export const clipList = signal<ClipList>({ state: "loading" });

export const base = (name: string): string => `/routines/${encodeURIComponent(name)}`;
export const clipPath = (name: string, file: string): string =>
  `${base(name)}/clips/${encodeURIComponent(file)}`;

let latest = 0;
export async function loadClips(name: string): Promise<void> {
  const mine = ++latest;
  if (clipList.peek().state !== "there") clipList.value = { state: "loading" };
  const got = await askJson<Omit<Extract<ClipList, { state: "there" }>, "state" | "time">>(
    `${base(name)}/clips`,
  );
  if (mine !== latest) return;
  clipList.value =
    "why" in got ? { state: "trouble", why: got.why } : { state: "there", time: mine, ...got.answer };
}

export const accountOf = (name: string, file: string) =>
  askJson<ClipAccount>(`${clipPath(name, file)}/events`);
