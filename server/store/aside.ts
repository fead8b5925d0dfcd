/** What cannot be read is kept as it is, beside the file that it was, before anything takes its place. */
import type { FileSystem } from "./fs.ts";
import type { Ids } from "./interfaces.ts";
import { hashOf } from "./hash.ts";
import { writeWhole } from "./whole.ts";

/** Kept once, however often it is tried. @returns the copy's file name */
export async function keepAside(
  disk: { readonly fs: FileSystem; readonly ids: Ids },
  folder: string,
  file: string,
  bytes: Uint8Array,
): Promise<string> {
  const aside = `${file}.aside-${hashOf(bytes).slice(0, 12)}`;
  if ((await disk.fs.status(`${folder}/${aside}`)) === null) await writeWhole(disk, folder, aside, bytes);
  return aside;
}
