/**
 * Brings a folder to what the clips are now: what changed is written whole, what is not a clip any more goes. Only files
 * that the program wrote and that nobody changed since are replaced or removed; all others stay, and are named.
 */
import type { FileSystem } from "../store/fs.ts";
import type { Ids } from "../store/interfaces.ts";
import { isTemporary } from "../store/names.ts";
import { writeWhole } from "../store/whole.ts";
import { type Manifest, readManifest, writeManifest } from "./manifest.ts";
import { hashOf } from "../store/hash.ts";

export interface Wanted {
  readonly name: string;
  readonly bytes: Uint8Array;
  /** Of the bytes, where it is known. */
  readonly hash?: string;
}

export interface Refreshed {
  readonly written: number;
  readonly removed: number;
  /** Names of files that are the user's and were left: changed since they were written, or there before. */
  readonly left: readonly string[];
}

/** Bytes of a file that may be ours. */
const LARGEST = 64 * 1024 * 1024;

/**
 * @param routine where the routine lies
 * @param mine names of files that are replaced even though the user changed them
 * @throws what the disk throws; the next refresh goes on from there
 */
export async function refresh(
  disk: { readonly fs: FileSystem; readonly ids: Ids },
  folder: string,
  routine: string,
  wanted: readonly Wanted[],
  mine: ReadonlySet<string> = new Set(),
): Promise<Refreshed | { readonly problem: string }> {
  const { fs } = disk;
  const before = await readManifest(fs, folder);
  if (before !== null && "problem" in before) return before;
  if (before !== null && before.routine !== routine)
    return {
      problem: `${folder} is kept fresh for another routine (${before.routine}). Choose another folder.`,
    };
  const known = new Map(Object.entries(before?.files ?? {}));
  const there = new Map((await fs.list(folder)).map(({ name, kind }) => [name, kind]));
  // Half-written files of a stop in between carry a name that only the program gives.
  if (before !== null)
    for (const name of there.keys()) if (isTemporary(name)) await fs.remove(`${folder}/${name}`);

  /** Whether what stands there is as the program left it. */
  async function isOurs(name: string): Promise<boolean> {
    const hashes = known.get(name);
    if (hashes === undefined || there.get(name) !== "file") return false;
    const bytes = await fs.read(`${folder}/${name}`, LARGEST);
    return bytes !== null && hashes.includes(hashOf(bytes));
  }

  const left: string[] = [];
  const changed: (Wanted & { readonly hash: string })[] = [];
  const files: Manifest["files"] = {};
  const wantedNames = new Set<string>();
  for (const { name, bytes, hash = hashOf(bytes) } of wanted) {
    wantedNames.add(name);
    const hashes = known.get(name);
    if (hashes?.length === 1 && hashes[0] === hash && there.has(name)) files[name] = [hash];
    else if (!there.has(name) || mine.has(name) || (await isOurs(name))) {
      changed.push({ name, bytes, hash });
      files[name] = [...(hashes ?? []).filter((one) => one !== hash), hash];
    } else {
      left.push(name);
      // What we wrote there last stays known: put back as it was, it is ours again.
      if (hashes !== undefined) files[name] = hashes;
    }
  }
  const gone: string[] = [];
  for (const name of known.keys()) {
    if (wantedNames.has(name) || !there.has(name)) continue;
    if (await isOurs(name)) {
      gone.push(name);
      files[name] = known.get(name) as string[];
    } else left.push(name);
  }
  if (changed.length === 0 && gone.length === 0 && before !== null) return { written: 0, removed: 0, left };

  const manifest = { format: "countercut-clips", version: 1, routine } as const;
  // First what may come to be, so that a stop in between leaves no file that is not known.
  await writeManifest(disk, folder, { ...manifest, files });
  for (const { name, bytes, hash } of changed) {
    await writeWhole(disk, folder, name, bytes, { mayReplace: there.has(name) });
    files[name] = [hash];
  }
  for (const name of gone) {
    await fs.remove(`${folder}/${name}`);
    delete files[name];
  }
  await writeManifest(disk, folder, { ...manifest, files });
  return { written: changed.length, removed: gone.length, left };
}
