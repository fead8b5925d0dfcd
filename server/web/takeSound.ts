/** A sound that is brought: looked at before it stands in a routine's folder under its name. */
import { rm } from "node:fs/promises";
import { join } from "node:path";
import type { Jobs, WavFacts } from "../jobs/jobs.ts";
import { disk } from "../store/disk.ts";
import { StoreError } from "../store/errors.ts";
import { randomIds } from "../store/folder.ts";
import { nameFault, temporaryName } from "../store/names.ts";
import { whyUnsaved } from "../store/unsaved.ts";
import { WebError } from "./answered.ts";
import { BodyError } from "./safeJson.ts";

/** A name ending in .wav that is safe on every system. @throws WebError */
export function soundName(name: string | undefined): string {
  if (name === undefined || !/\.wav$/i.test(name) || name.length > 200) {
    throw new WebError(422, "bad-name", "A sound's name ends in .wav and has at most 200 characters.");
  }
  const fault = nameFault(name);
  if (fault !== null) throw new WebError(422, "bad-name", `${fault} Choose another name.`);
  return name;
}

/**
 * Writes a sound as it comes, for good, under a name that nothing reads, and looks at it in a thread. What `use` does
 * not move away is removed. @param folder that is there; @param called how it is called where it is no sound
 * @throws WebError where it is no sound, StoreError
 */
export async function withSound<Result>(
  folder: string,
  parts: AsyncIterable<Uint8Array> | Iterable<Uint8Array>,
  jobs: Jobs,
  wanted: AbortSignal,
  use: (temporary: string, facts: WavFacts) => Promise<Result>,
  called = "",
): Promise<Result> {
  const temporary = join(folder, temporaryName(randomIds()));
  try {
    try {
      const handle = await disk.create(temporary);
      try {
        for await (const part of parts) await handle.write(part);
        await handle.sync();
      } finally {
        await handle.close();
      }
    } catch (error) {
      if (error instanceof BodyError) throw error;
      throw new StoreError("read-only", whyUnsaved(error));
    }
    const read = await jobs.wavFacts(temporary, wanted);
    if ("problem" in read) throw new WebError(422, "no-sound", `${called}${read.problem}`);
    return await use(temporary, read);
  } finally {
    await rm(temporary, { force: true });
  }
}

/** Writes a sound whole, in place of one with its name. @param file as `soundName` lets it pass */
export const takeSound = (
  folder: string,
  file: string,
  parts: AsyncIterable<Uint8Array> | Iterable<Uint8Array>,
  jobs: Jobs,
  wanted: AbortSignal,
): Promise<void> =>
  withSound(
    folder,
    parts,
    jobs,
    wanted,
    async (temporary) => {
      await disk.rename(temporary, join(folder, file));
      await disk.syncFolder(folder);
    },
    `${file}: `,
  );
