/**
 * The folder's bin: a folder for each removal, that holds what was removed as it was. A routine's is named by its day
 * and an id, and can be brought back; a recording's by an id alone.
 * Nothing here destroys anything.
 */
import { StoreError } from "./errors.ts";
import type { FileSystem } from "./fs.ts";
import type { Binned, Clock, Ids } from "./interfaces.ts";
import {
  fileOf,
  freeName,
  journalOf,
  nameOfFile,
  nameOfJournal,
  pastOf,
  practiceOf,
  recordingsOf,
  soundsOf,
  SUFFIX,
  twinKey,
} from "./names.ts";
import { lastingFolder } from "./whole.ts";

export const BIN = ".bin";
const PLACE = /^\d{4}-\d\d-\d\d [0-9a-z]{1,8}$/;

/** All that belongs to a routine besides its file. */
const SIDES = [journalOf, pastOf, soundsOf, practiceOf, recordingsOf];

export interface BinContext {
  readonly fs: FileSystem;
  readonly clock: Clock;
  readonly ids: Ids;
}

/** Moves what stands beside a routine's file. */
export async function moveSides(
  fs: FileSystem,
  from: string,
  name: string,
  into: string,
  to: string,
): Promise<void> {
  for (const side of SIDES) {
    const there = `${from}/${side(name)}`;
    if ((await fs.status(there)) !== null) await fs.rename(there, `${into}/${side(to)}`);
  }
}

/** Makes a place in the bin, for good. @returns its path */
export const placeInBin = async (fs: FileSystem, folder: string, name: string): Promise<string> =>
  lastingFolder(fs, await lastingFolder(fs, folder, BIN), name);

export async function toBin({ fs, clock, ids }: BinContext, folder: string, name: string): Promise<void> {
  const day = new Date(clock.now()).toISOString().slice(0, 10);
  const place = await placeInBin(fs, folder, `${day} ${ids().slice(0, 8)}`);
  await fs.rename(`${folder}/${fileOf(name)}`, `${place}/${fileOf(name)}`);
  await moveSides(fs, folder, name, place, name);
  // First where it arrives: a crash in between shows it twice rather than not at all.
  await fs.syncFolder(place);
  await fs.syncFolder(folder);
}

/** What can be brought back, the newest first. */
export async function binnedIn(fs: FileSystem, folder: string): Promise<Binned[]> {
  const bin = `${folder}/${BIN}`;
  if ((await fs.status(bin))?.kind !== "folder") return [];
  const found: Binned[] = [];
  for (const { name: place, kind } of await fs.list(bin)) {
    if (kind !== "folder" || !PLACE.test(place)) continue;
    const names = (await fs.list(`${bin}/${place}`)).flatMap((entry) =>
      entry.kind === "file" ? (nameOfFile(entry.name) ?? []) : [],
    );
    const [name] = names;
    if (name === undefined) continue;
    const status = await fs.status(`${bin}/${place}/${fileOf(name)}`);
    found.push({ place, name, size: status?.size ?? 0, modified: status?.modified ?? 0 });
  }
  return found.sort((a, b) => (a.place < b.place ? 1 : a.place > b.place ? -1 : 0));
}

/**
 * One of them, and the name that is free for it in the folder: its own where that is not taken meanwhile.
 * @throws StoreError `not-found`
 */
export async function binnedAt(
  fs: FileSystem,
  folder: string,
  place: string,
): Promise<{ readonly binned: Binned; readonly to: string }> {
  const binned = (await binnedIn(fs, folder)).find((one) => one.place === place);
  if (binned === undefined) throw new StoreError("not-found", "That routine is not in the bin any more.");
  const { name } = binned;
  // A journal without its file is this routine's own where a crash broke off the way back.
  const moved = (await fs.status(`${folder}/${BIN}/${place}/${journalOf(name)}`)) === null;
  const taken = (await fs.list(folder)).flatMap(({ name: file }) => {
    if (file.endsWith(SUFFIX)) return file.slice(0, -SUFFIX.length);
    return (moved && file === journalOf(name) ? null : nameOfJournal(file)) ?? [];
  });
  const free = !taken.some((one) => twinKey(one) === twinKey(name));
  return { binned, to: free ? name : freeName(name, "from the bin", taken) };
}

/** @param to a name that is free */
export async function fromBin(
  { fs }: BinContext,
  folder: string,
  { place, name }: Binned,
  to: string,
): Promise<void> {
  const from = `${folder}/${BIN}/${place}`;
  // The file comes last: as long as it is in the bin, a crash leaves all of this to be done again.
  await moveSides(fs, from, name, folder, to);
  await fs.syncFolder(folder);
  await fs.renameNew(`${from}/${fileOf(name)}`, `${folder}/${fileOf(to)}`);
  await fs.syncFolder(folder);
  await fs.syncFolder(from);
}
