/** A MIDI file that was brought: kept here while the user chooses what it is to be; nothing is changed before. */
import { signal } from "@preact/signals";
import type { Edit } from "../../schemas/edit.ts";
import { askJson } from "../state/ask.ts";
import { base } from "./clips.ts";

export type As = "beat" | "pattern" | "tempo";
/** As server/web/midiRoutes.ts tells it. */
export interface Understood {
  readonly tracks: readonly {
    readonly name: string;
    readonly end: number;
    readonly notes: number;
    readonly keys: readonly { readonly number: number; readonly count: number }[];
    readonly controllers: readonly { readonly number: number; readonly count: number }[];
  }[];
  readonly recognised: {
    readonly section: string | null;
    readonly strand: string | null;
    readonly name: string;
  } | null;
  readonly as: As;
  readonly step?: string;
  readonly forward?: number;
  readonly back?: number;
  readonly fader?: string;
  readonly record?: string;
  readonly problem?: string;
  readonly beat?: {
    readonly step: string;
    readonly steps: number;
    readonly hits: readonly {
      readonly key: number;
      readonly at: readonly number[];
      readonly velocity?: number;
    }[];
  };
  readonly pattern?: {
    readonly record: { readonly strokes: readonly { readonly move: string; readonly length?: number }[] };
    readonly fader: { readonly cells: readonly { readonly fader: string; readonly length?: number }[] };
  };
  readonly stretches?: readonly {
    readonly name: string | null;
    readonly bars: number;
    readonly meter: string;
    readonly tempo: number | { readonly from: number; readonly to: number };
  }[];
  /** In steps; for a tempo map in microseconds a quarter. */
  readonly error?: number;
  readonly leftOut?: readonly string[];
  readonly offers?: readonly { readonly words: string; readonly edit: Edit }[];
  readonly same?: boolean;
}

/** What the user chose; left out: what the file suggests. */
export interface Choice {
  readonly as?: As;
  readonly step?: string;
  readonly tracks?: readonly number[];
  readonly keys?: readonly number[];
  readonly forward?: number;
  readonly back?: number;
  readonly fader?: string;
  readonly record?: string;
}

export type Brought =
  | { readonly state: "none" }
  | { readonly state: "reading"; readonly file: File }
  | { readonly state: "trouble"; readonly file: File | null; readonly why: string }
  | {
      readonly state: "there";
      readonly file: File;
      readonly choice: Choice;
      readonly is: Understood;
      /** It is read again by another choice. */
      readonly busy?: boolean;
    };
export const brought = signal<Brought>({ state: "none" });
/** What was last done with a file, to be said. */
export const done = signal<string | null>(null);

const LARGEST = 8 * 1024 * 1024;
/** Of the reading that goes on, or was the last. */
let control = new AbortController();

export async function read(name: string, file: File, choice: Choice = {}): Promise<void> {
  control.abort();
  const mine = new AbortController();
  control = mine;
  done.value = null;
  if (file.size > LARGEST) {
    brought.value = {
      state: "trouble",
      file,
      why: `${file.name} is larger than 8 MiB: it is no MIDI file of music.`,
    };
    return;
  }
  const before = brought.peek();
  // Another choice for the same file leaves it in sight until its answer is there.
  brought.value =
    before.state === "there" && before.file === file ? { ...before, busy: true } : { state: "reading", file };
  const query = new URLSearchParams({ file: file.name });
  for (const [field, value] of Object.entries(choice))
    if (value !== undefined) query.set(field, String(value));
  const got = await askJson<Understood>(`${base(name)}/midi?${query}`, {
    method: "POST",
    headers: { "content-type": "audio/midi" },
    body: await file.arrayBuffer(),
    signal: mine.signal,
  }).catch(() => null);
  if (got === null || mine.signal.aborted) return;
  brought.value =
    "why" in got
      ? { state: "trouble", file, why: got.why }
      : { state: "there", file, choice, is: got.answer };
}

/** What was there before stays. */
export function stopReading(): void {
  control.abort();
  const now = brought.peek();
  brought.value = now.state === "there" ? { ...now, busy: false } : { state: "none" };
}

export function putAside(): void {
  stopReading();
  brought.value = { state: "none" };
}

const MIDI_NAME = /\.midi?$/i;
export const isMidi = (file: File): boolean => MIDI_NAME.test(file.name) || /midi/.test(file.type);
/** The MIDI file among what was dropped; a sentence where there is none. */
export function fileOf(list: FileList | null | undefined): File | string {
  const files = [...(list ?? [])];
  const midi = files.find(isMidi);
  if (midi !== undefined) return midi;
  return files.length === 0
    ? "There is no file in what was dropped."
    : `${files[0]?.name} is no MIDI file. Its name ends in .mid.`;
}
