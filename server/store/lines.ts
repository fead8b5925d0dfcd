/**
 * A readable file that only grows, a line at a time. A line is whole and flushed before it is answered for; one that a
 * loss of power tore is passed over, and the next begins on a line of its own.
 */
import type { FileSystem } from "./fs.ts";
import { saving } from "./unsaved.ts";

const LARGEST = 64 * 1024 * 1024;
const LINE_FEED = 0x0a;

/** Empty where there is no file. */
export async function readLines(fs: FileSystem, path: string): Promise<readonly string[]> {
  const bytes = await fs.read(path, LARGEST);
  if (bytes === null) return [];
  return new TextDecoder()
    .decode(bytes)
    .split("\n")
    .filter((line) => line !== "");
}

/** @param line without a line feed. @throws StoreError `read-only` */
export async function addLine(fs: FileSystem, folder: string, file: string, line: string): Promise<void> {
  const path = `${folder}/${file}`;
  await saving(async () => {
    const before = await fs.read(path, LARGEST);
    const torn = before !== null && before.length > 0 && before.at(-1) !== LINE_FEED;
    const handle = before === null ? await fs.create(path) : await fs.append(path);
    try {
      await handle.write(Buffer.from(`${torn ? "\n" : ""}${line}\n`));
      await handle.datasync();
    } finally {
      await handle.close();
    }
    // Also where the file was there: an earlier flush of the folder may have failed.
    await fs.syncFolder(folder);
  });
}
