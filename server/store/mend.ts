/** Mends one thing, after a copy of it was kept beside it. The folder must be held. */
import { keepAside } from "./aside.ts";
import { StoreError } from "./errors.ts";
import type { Meaning, Mend } from "./examine.ts";
import type { FileSystem } from "./fs.ts";
import type { Ids } from "./interfaces.ts";
import { parseJournal } from "./journal.ts";
import { checkName, fileOf, journalOf, pastOf } from "./names.ts";
import { pastFiles, readPast } from "./past.ts";
import { LARGEST_JOURNAL } from "./largest.ts";
import { writeWhole } from "./whole.ts";

export interface Mending {
  readonly fs: FileSystem;
  readonly folder: string;
  readonly ids: Ids;
  readonly meaning: Meaning;
}

/** @returns a sentence about what was done. @throws StoreError where there is nothing of the kind to mend */
export function mend(context: Mending, what: Mend, name: string): Promise<string> {
  checkName(name);
  if (what === "past") return mendPast(context, name);
  return what === "lost" ? writeAgain(context, name) : cutJournal(context, name);
}

/** Keeps what is whole of a journal; where not even its text is, the routine begins anew from its file. */
async function cutJournal(context: Mending, name: string): Promise<string> {
  const { fs, folder } = context;
  const bytes = await readJournal(context, name);
  const whole = wholePart(bytes);
  if (whole === bytes.length) throw new StoreError("not-found", `The journal of "${name}" is whole.`);
  const copy = await keepAside(context, context.folder, journalOf(name), bytes);
  if (whole === 0) {
    await fs.remove(`${folder}/${journalOf(name)}`);
    await fs.syncFolder(folder);
    return `The journal of "${name}" is kept as ${copy}; the routine goes on from its file.`;
  }
  await writeWhole(context, folder, journalOf(name), bytes.subarray(0, whole), { mayReplace: true });
  return `The journal of "${name}" keeps its first ${whole} of ${bytes.length} bytes; as it was, it is kept as ${copy}.`;
}

async function writeAgain(context: Mending, name: string): Promise<string> {
  const { folder, meaning } = context;
  if ((await context.fs.status(`${folder}/${fileOf(name)}`)) !== null) {
    throw new StoreError("taken", `The file of "${name}" is there.`);
  }
  const bytes = await readJournal(context, name);
  const journal = parseJournal(bytes);
  if (typeof journal === "string") {
    throw new StoreError(
      "not-ours",
      `The journal of "${name}" cannot be read: ${journal}. Mend damaged:${name} first.`,
    );
  }
  let text: string;
  try {
    text = meaning.replay(journal.base, journal.records);
  } catch (error) {
    throw new StoreError(
      "not-ours",
      `The edits of "${name}" do not fit its text: ${(error as Error).message}`,
    );
  }
  // The journal stays as the copy, aside: with a file that it does not know it would tell of an outside change.
  const copy = await keepAside(context, context.folder, journalOf(name), bytes);
  await writeWhole(context, folder, fileOf(name), text);
  await context.fs.remove(`${folder}/${journalOf(name)}`);
  await context.fs.syncFolder(folder);
  return `"${name}" is written again, with its ${journal.records.length} edits; its journal is kept as ${copy}.`;
}

async function mendPast({ fs, folder }: Mending, name: string): Promise<string> {
  const past = `${folder}/${pastOf(name)}`;
  const moved: string[] = [];
  for (const { file } of await pastFiles(fs, past, Number.POSITIVE_INFINITY)) {
    try {
      await readPast(fs, past, file);
    } catch {
      await fs.renameNew(`${past}/${file}`, `${past}/${file}.aside`);
      moved.push(`${file}.aside`);
    }
  }
  if (moved.length === 0) throw new StoreError("not-found", `The past of "${name}" is whole.`);
  await fs.syncFolder(past);
  return `What cannot be read of the past of "${name}" is kept as ${moved.join(", ")}.`;
}

async function readJournal({ fs, folder }: Mending, name: string): Promise<Uint8Array> {
  const bytes = await fs.read(`${folder}/${journalOf(name)}`, LARGEST_JOURNAL);
  if (bytes === null) throw new StoreError("not-found", `"${name}" has no journal.`);
  return bytes;
}

/** Bytes of the longest beginning that is a journal without fault. */
function wholePart(bytes: Uint8Array): number {
  const ends: number[] = [0];
  for (let at = bytes.indexOf(10); at !== -1; at = bytes.indexOf(10, at + 1)) ends.push(at + 1);
  let [low, high] = [0, ends.length - 1];
  // A fault stays a fault in every longer beginning.
  while (low < high) {
    const middle = Math.ceil((low + high) / 2);
    const found = parseJournal(bytes.subarray(0, ends[middle]));
    if (typeof found === "string" || found.torn > 0) high = middle - 1;
    else low = middle;
  }
  return ends[low] as number;
}
