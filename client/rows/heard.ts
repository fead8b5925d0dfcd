/**
 * The picture of what is heard under the rows, fetched for the sections that are in sight. It is kept by what it
 * depends on; while a section changes its last picture stands, until the server has drawn the new one.
 */
import { computed, effect, type Signal, signal } from "@preact/signals";
import type { Routine } from "../../schemas/routine.ts";
import { HEARD_COLUMNS } from "../../schemas/sound.ts";
import { fetchWithBearer } from "../state/access.ts";
import { jsonBody } from "../state/ask.ts";
import { heardShown } from "../state/settings.ts";
import { opened, past } from "../state/shown.ts";
import { waitingHere } from "../state/waiting.ts";
import { ROW, type RowMetrics } from "./metrics.ts";

/** Pixels of it under each row. */
export const HEARD = 26;
const WITH_HEARD: RowMetrics = { ...ROW, below: ROW.below + HEARD };
/** The routine's rows as they are drawn now. */
export const rowMetrics = computed(() => (heardShown.value ? WITH_HEARD : ROW));

export interface HeardSection {
  /** Bytes of each row, lead-in first; empty until they came. */
  readonly rows: readonly Uint8Array[];
  /** They belong to the section as it was a moment ago. */
  readonly old: boolean;
}

const NONE: HeardSection = { rows: [], old: false };
interface Kept {
  readonly now: Signal<HeardSection>;
  key: readonly unknown[];
}
const kept = new Map<string, Kept>();
/** Of this routine. */
let keptOf = "";
/** Milliseconds in which rows that come into sight are drawn themselves. */
const AFTER_ROWS = 100;
/** Milliseconds without a change before it is asked for: an edit seldom comes alone, and is to be seen first. */
const CALM = 200;
let edited = Number.NEGATIVE_INFINITY;
effect(() => {
  if (waitingHere.value.length > 0) edited = performance.now();
});
const editing = (): boolean => waitingHere.peek().length > 0 || performance.now() - edited < CALM;

const nothingHeard = signal(NONE);

/**
 * Of a section as it is now: a moment of the past has none.
 *
 * @param key all that the picture depends on: another value in it asks for another picture
 */
export function heardIn(name: string, section: string, key: readonly unknown[]): Signal<HeardSection> {
  if (past.value !== null) return nothingHeard;
  const path = `/routines/${encodeURIComponent(name)}/heard/${encodeURIComponent(section)}`;
  return pictureAt(name, path, key, () => ({}));
}

/** Of a routine of one section that is kept nowhere. @param name of the routine whose sounds it plays */
export const heardAlone = (name: string, routine: Routine, key: readonly unknown[]): Signal<HeardSection> =>
  pictureAt(name, `/routines/${encodeURIComponent(name)}/heard`, key, () => jsonBody("POST", routine));

function pictureAt(
  name: string,
  path: string,
  key: readonly unknown[],
  ask: () => RequestInit,
): Signal<HeardSection> {
  // Pictures of a routine that is not open any more are let go.
  if (name !== keptOf) kept.clear();
  keptOf = name;
  let one = kept.get(path);
  if (one === undefined) {
    one = { now: signal(NONE), key: [] };
    kept.set(path, one);
  }
  if (one.key.length !== key.length || key.some((value, i) => value !== one?.key[i])) {
    const first = one.key.length === 0;
    one.key = key;
    const asked = one;
    setTimeout(() => void fetchInto(name, path, asked, key, ask), first ? AFTER_ROWS : CALM);
  }
  return one.now;
}

async function fetchInto(
  name: string,
  path: string,
  one: Kept,
  key: readonly unknown[],
  ask: () => RequestInit,
): Promise<void> {
  // Another routine may be open by now, and this one in the bin.
  if (one.key !== key || opened.peek()?.name !== name) return;
  if (editing()) {
    setTimeout(() => void fetchInto(name, path, one, key, ask), CALM);
    return;
  }
  const old = one.now.peek();
  if (old.rows.length > 0) one.now.value = { ...old, old: true };
  const answer = await fetchWithBearer(path, ask()).catch(() => null);
  // Without it the rows say the same; the next change asks again.
  const bytes = answer?.ok === true ? new Uint8Array(await answer.arrayBuffer()) : new Uint8Array(0);
  if (one.key !== key) return;
  const rows = Array.from({ length: Math.floor(bytes.length / HEARD_COLUMNS) }, (_, row) =>
    bytes.subarray(row * HEARD_COLUMNS, (row + 1) * HEARD_COLUMNS),
  );
  one.now.value = { rows, old: false };
}

/** An upright line for each column that is not silent, around a middle; x from 0 to `width`. */
export function heardPath(row: Uint8Array, width: number, top: number, height: number): string {
  const middle = top + height / 2;
  const parts: string[] = [];
  for (const [column, value] of row.entries()) {
    if (value === 0) continue;
    const size = Math.max(0.5, (value / 255) * height);
    const x = ((column + 0.5) / row.length) * width;
    parts.push(`M${x.toFixed(1)} ${(middle - size / 2).toFixed(1)}v${size.toFixed(1)}`);
  }
  return parts.join("");
}
