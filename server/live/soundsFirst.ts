/** A routine that comes with sounds: both are there, or neither, whatever fails on the way. */
import { mkdir, readdir, rename, rm } from "node:fs/promises";
import { join } from "node:path";
import { disk } from "../store/disk.ts";
import { StoreError } from "../store/errors.ts";
import { randomIds } from "../store/folder.ts";
import { temporaryName } from "../store/names.ts";
import { saving } from "../store/unsaved.ts";

/**
 * The sounds are put where nothing reads them, then under the routine's name, and the routine is made last: until then
 * none is there.
 * @param folder of routines; @param sounds folder that the routine's sounds will be in, which must not be there
 * @param put writes them into a folder that is there; whatever it throws leaves nothing
 * @param create makes the routine; whatever it throws leaves nothing
 * @throws StoreError for whatever the disk refuses, and what `put` and `create` throw
 */
export async function soundsFirst<Result>(
  folder: string,
  sounds: string,
  put: (into: string) => Promise<Result>,
  create: () => Promise<void>,
): Promise<Result> {
  const made = join(folder, temporaryName(randomIds()));
  try {
    await saving(() => mkdir(made));
    const result = await put(made);
    const some = (await readdir(made)).length > 0;
    if (some) await saving(() => under(made, sounds, folder));
    try {
      await create();
    } catch (error) {
      if (some) await rm(sounds, { recursive: true, force: true });
      throw error;
    }
    return result;
  } finally {
    await rm(made, { recursive: true, force: true });
  }
}

async function under(made: string, sounds: string, folder: string): Promise<void> {
  if ((await disk.status(sounds)) !== null)
    throw new StoreError("taken", "A folder of sounds of that name is there already. Choose another name.");
  await rename(made, sounds);
  await disk.syncFolder(folder);
}
