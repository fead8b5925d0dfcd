/**
 * What the program wrote into a folder of clips: a hidden file beside them, which says for each file the hashes that
 * it may have. A file with another hash was changed by the user, and is theirs.
 */
import { z } from "zod";
import type { FileSystem } from "../store/fs.ts";
import type { Ids } from "../store/interfaces.ts";
import { writeWhole } from "../store/whole.ts";

export const MANIFEST = ".countercut-clips.json";
const LARGEST = 4 * 1024 * 1024;

const Manifest = z.strictObject({
  format: z.literal("countercut-clips"),
  version: z.literal(1),
  /** Where the routine lies, so that two never write into one folder. */
  routine: z.string(),
  /** SHA-256 of what each file holds; before a change is written also of what it will hold. */
  files: z.record(z.string(), z.array(z.string())),
});
export type Manifest = z.infer<typeof Manifest>;

/** @returns null where there is none; a problem where it is not ours to read */
export async function readManifest(
  fs: FileSystem,
  folder: string,
): Promise<Manifest | null | { readonly problem: string }> {
  const bytes = await fs.read(`${folder}/${MANIFEST}`, LARGEST);
  if (bytes === null) return null;
  try {
    return Manifest.parse(JSON.parse(new TextDecoder("utf-8", { fatal: true }).decode(bytes)));
  } catch {
    return {
      problem: `The file ${MANIFEST} in ${folder} cannot be read, so it is not known which clips are the program's. Remove it, or choose another folder.`,
    };
  }
}

export const writeManifest = (
  disk: { readonly fs: FileSystem; readonly ids: Ids },
  folder: string,
  manifest: Manifest,
): Promise<void> => writeWhole(disk, folder, MANIFEST, `${JSON.stringify(manifest)}\n`, { mayReplace: true });
