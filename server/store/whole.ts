/** A file that appears whole and for good, or not at all; and a folder that stays. */
import type { FileSystem } from "./fs.ts";
import type { Ids } from "./interfaces.ts";
import { temporaryName } from "./names.ts";

/**
 * Writes a file through a temporary one in the same folder: opened exclusively, written, flushed, its size checked,
 * closed, renamed, and the folder flushed. The size check is what a nearly full disk needs: a file there was seen to
 * be shorter than what was written without an error.
 * @throws what the disk throws; then the file is as it was, and the temporary one is gone if the disk allows it
 */
export async function writeWhole(
  { fs, ids }: { readonly fs: FileSystem; readonly ids: Ids },
  folder: string,
  name: string,
  content: string | Uint8Array,
  { mayReplace = false }: { readonly mayReplace?: boolean } = {},
): Promise<void> {
  const bytes = typeof content === "string" ? Buffer.from(content) : content;
  const temporary = `${folder}/${temporaryName(ids())}`;
  const handle = await fs.create(temporary);
  try {
    try {
      await handle.write(bytes);
      await handle.sync();
      const size = await handle.size();
      if (size !== bytes.length) {
        throw Object.assign(new Error(`${name} has ${size} of ${bytes.length} bytes`), { code: "ENOSPC" });
      }
    } finally {
      await handle.close();
    }
    if (mayReplace) await fs.rename(temporary, `${folder}/${name}`);
    else await fs.renameNew(temporary, `${folder}/${name}`);
  } catch (error) {
    await fs.remove(temporary).catch(() => undefined);
    throw error;
  }
  await fs.syncFolder(folder);
}

/** A folder that is there for good, also where it was before: an earlier flush may have failed. */
export async function lastingFolder(fs: FileSystem, parent: string, name: string): Promise<string> {
  const path = `${parent}/${name}`;
  if ((await fs.status(path)) === null) await fs.makeFolder(path);
  await fs.syncFolder(parent);
  return path;
}
