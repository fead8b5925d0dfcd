/**
 * A journal without its routine: the file was renamed by hand, or a crash came between the renaming of the one and of
 * the other. A file that has no journal takes up the orphan that knows its content.
 */
import type { FileSystem } from "./fs.ts";
import { parseJournal } from "./journal.ts";
import { fileOf, journalOf, nameOfJournal, pastOf } from "./names.ts";
import { LARGEST_JOURNAL } from "./largest.ts";
import { readFile } from "./recover.ts";

/** Names whose journal is there and whose routine is not. */
export async function orphansOf(fs: FileSystem, folder: string): Promise<readonly string[]> {
  const files = new Set(
    (await fs.list(folder)).filter(({ kind }) => kind === "file").map(({ name }) => name),
  );
  return [...files].flatMap((file) => {
    const name = nameOfJournal(file);
    return name === null || files.has(fileOf(name)) ? [] : [name];
  });
}

/** Gives a routine without a journal the one it had under another name, if there is one. */
export async function adoptOrphan(fs: FileSystem, folder: string, name: string): Promise<void> {
  if ((await fs.status(`${folder}/${journalOf(name)}`)) !== null) return;
  const orphans = await orphansOf(fs, folder);
  const file = orphans.length === 0 ? null : await readFile(fs, folder, name);
  if (file === null) return;
  for (const orphan of orphans) {
    const bytes = await fs.read(`${folder}/${journalOf(orphan)}`, LARGEST_JOURNAL).catch(() => null);
    const journal = bytes === null ? "" : parseJournal(bytes);
    if (typeof journal === "string" || !journal.ours.has(file.hash)) continue;
    try {
      // The past first: without its journal it would not be found by another try.
      if ((await fs.status(`${folder}/${pastOf(orphan)}`)) !== null) {
        await fs.rename(`${folder}/${pastOf(orphan)}`, `${folder}/${pastOf(name)}`);
      }
      await fs.rename(`${folder}/${journalOf(orphan)}`, `${folder}/${journalOf(name)}`);
      await fs.syncFolder(folder);
    } catch {
      // The disk cannot be written; the routine opens as its file has it.
    }
    return;
  }
}
