/** Puts the recordings that an example plays beside it, rendered here and now. */
import { mkdir } from "node:fs/promises";
import type { Routine } from "../../schemas/routine.ts";
import { LOFT_TAPE } from "../routine/atticWaltz.ts";
import { tapeOf } from "../sound/tape.ts";
import { disk } from "../store/disk.ts";
import { randomIds } from "../store/folder.ts";
import { writeWhole } from "../store/whole.ts";

/**
 * One that is there already is left as it is.
 * @param folder the routine's folder of sounds, made where there is something to put there
 * @throws what the disk throws
 */
export async function putTapes({ beats }: Routine, folder: string): Promise<void> {
  const { file, beat: id, ...as } = LOFT_TAPE;
  const drawn = beats.find((beat) => beat.id === id);
  if (drawn === undefined || !beats.some(({ recorded }) => recorded?.file === file)) return;
  await mkdir(folder, { recursive: true });
  if ((await disk.status(`${folder}/${file}`)) !== null) return;
  await writeWhole({ fs: disk, ids: randomIds }, folder, file, tapeOf(drawn, as));
}
