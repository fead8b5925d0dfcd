/** A sound that is brought: looked at before it stands in a routine's folder under its name. */
import { createWriteStream } from "node:fs";
import { rename, rm } from "node:fs/promises";
import { join } from "node:path";
import { Readable } from "node:stream";
import { finished, pipeline } from "node:stream/promises";
import type { Jobs } from "../jobs/jobs.ts";
import { nameFault } from "../store/names.ts";
import { WebError } from "./answered.ts";

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
 * Writes a sound whole, in place of one with its name.
 * @param folder that is there; @param file as `soundName` lets it pass. @throws WebError where it is no sound
 */
export async function takeSound(
  folder: string,
  file: string,
  parts: AsyncIterable<Uint8Array> | Iterable<Uint8Array>,
  jobs: Jobs,
  wanted: AbortSignal,
): Promise<void> {
  const temporary = join(folder, `.${Date.now().toString(36)}-${process.hrtime.bigint()}.part`);
  try {
    const into = createWriteStream(temporary, { flags: "wx" });
    await pipeline(Readable.from(parts), into);
    await finished(into).catch(() => {});
    const read = await jobs.wavFacts(temporary, wanted);
    if ("problem" in read) throw new WebError(422, "no-sound", `${file}: ${read.problem}`);
    await rename(temporary, join(folder, file));
  } finally {
    await rm(temporary, { force: true });
  }
}
