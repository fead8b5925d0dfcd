/** What a routine's files say when it is opened. Reads only. */
import { LARGEST_FILE } from "../../schemas/routine.ts";
import { StoreError } from "./errors.ts";
import type { FileSystem } from "./fs.ts";
import type { Outside } from "./interfaces.ts";
import { hashOf } from "./hash.ts";
import { type Journal, parseJournal } from "./journal.ts";
import { LARGEST_JOURNAL } from "./largest.ts";
import { fileOf, journalOf } from "./names.ts";
import { textOf } from "./text.ts";

export interface OnDisk {
  /** Null where it is gone. */
  readonly file: { readonly text: string | null; readonly hash: string } | null;
  readonly journal: { readonly bytes: Uint8Array; readonly parsed: Journal | string } | null;
}

/** The routine file; its text is null where it is no UTF-8. */
export async function readFile(fs: FileSystem, folder: string, name: string): Promise<OnDisk["file"]> {
  const bytes = await fs.read(`${folder}/${fileOf(name)}`, LARGEST_FILE);
  return bytes === null ? null : { text: textOf(bytes), hash: hashOf(bytes) };
}

export async function readBoth(fs: FileSystem, folder: string, name: string): Promise<OnDisk> {
  const file = await readFile(fs, folder, name);
  const bytes = await fs.read(`${folder}/${journalOf(name)}`, LARGEST_JOURNAL);
  return { file, journal: bytes === null ? null : { bytes, parsed: parseJournal(bytes) } };
}

export const asOutside = (file: OnDisk["file"]): Outside => ({
  text: file?.text ?? null,
  gone: file === null,
});

/** @throws StoreError where the file cannot be a routine */
export function mustBeText(name: string, file: OnDisk["file"]): string {
  if (file === null) throw new StoreError("not-found", `There is no routine "${name}" in this folder.`);
  if (file.text === null)
    throw new StoreError("not-ours", `"${name}" is no UTF-8 text, so it is left as it is.`);
  return file.text;
}
