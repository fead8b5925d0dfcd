/**
 * What was recorded and the folder could not take: offered until it stands there, or is thrown away. Times of keys and
 * notes outlast a reload, as edits do that wait; a sound, which is large, does not.
 */
import { signal } from "@preact/signals";
import { PlayedTimes, RecordingAbout } from "../../schemas/recording.ts";
import type { FromServer } from "../../schemas/wire.ts";
import { calledOtherwise } from "../rehearse/unsentPractice.ts";
import { listen } from "../state/connection.ts";

/** What was played, on its way into the folder of its routine. */
export interface Take {
  readonly key: string;
  /** Of the routine. */
  readonly name: string;
  readonly about: RecordingAbout;
  /** A WAV file, or seconds from the start of what was played. */
  readonly played: Blob | readonly number[];
}
export interface Unkept extends Take {
  /** Why the folder did not take it; a sentence. */
  readonly why: string;
}

const KEPT = "countercut.takes";

const isTake = (one: Partial<Unkept> | null): one is Unkept =>
  [one?.key, one?.name, one?.why].every((text) => typeof text === "string") &&
  RecordingAbout.safeParse(one?.about).success &&
  PlayedTimes.safeParse(one?.played).success;

function stored(): readonly Unkept[] {
  try {
    const found: unknown = JSON.parse(sessionStorage.getItem(KEPT) ?? "[]");
    return Array.isArray(found) ? found.filter(isTake) : [];
  } catch {
    return [];
  }
}

/** In the order in which they were played. */
export const unkept = signal<readonly Unkept[]>(stored());

function keep(next: readonly Unkept[]): void {
  unkept.value = next;
  try {
    const times = next.filter(({ played }) => Array.isArray(played));
    sessionStorage.setItem(KEPT, JSON.stringify(times));
  } catch {
    // Full or shut off: they last as long as the page.
  }
}

/** One that is held already stays where it is, with the newer reason. */
export function hold(take: Take, why: string): void {
  const held = { ...take, why };
  const before = unkept.peek();
  const again = before.some(({ key }) => key === take.key);
  keep(again ? before.map((one) => (one.key === take.key ? held : one)) : [...before, held]);
}
export const letGo = ({ key }: Pick<Take, "key">): void =>
  keep(unkept.peek().filter((one) => one.key !== key));

/** As a file: a sound as it is, times in seconds a line, as `countercut compare-times` reads them. */
export function fileOf({ name, about, played }: Take): { readonly content: Blob; readonly name: string } {
  if (played instanceof Blob) return { content: played, name: `${about.title}.wav` };
  const head = `# ${name}: ${about.title}, ${about.by}, ${Math.round(100 * about.speed)} % speed`;
  const lines = [head, ...played.map((time) => time.toFixed(6))];
  return { content: new Blob([`${lines.join("\n")}\n`], { type: "text/plain" }), name: `${about.title}.txt` };
}

export function followNames(message: FromServer): void {
  if (message.type === "renamed" && message.to !== null && unkept.peek().length > 0)
    keep(calledOtherwise(unkept.peek(), message.name, message.to));
}
listen(followNames);
