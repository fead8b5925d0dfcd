/** Puts the recordings that an example plays beside it, rendered here and now. */
import { mkdir, writeFile } from "node:fs/promises";
import { join } from "node:path";
import type { Routine } from "../../schemas/routine.ts";
import { LOFT_TAPE } from "../routine/atticWaltz.ts";
import { tapeOf } from "../sound/tape.ts";

/** @param folder the routine's folder of sounds, made where there is something to put there */
export async function putTapes({ beats }: Routine, folder: string): Promise<void> {
  const { file, beat: id, ...as } = LOFT_TAPE;
  const drawn = beats.find((beat) => beat.id === id);
  if (drawn === undefined || !beats.some(({ recorded }) => recorded?.file === file)) return;
  await mkdir(folder, { recursive: true });
  await writeFile(join(folder, file), tapeOf(drawn, as));
}
