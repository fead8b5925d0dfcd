/** Mappings that are kept in the folder for all its routines, in one readable file that is written whole. */
import { z } from "zod";
import { type Mapping, Mappings as MappingList } from "../../schemas/mapping.ts";
import { StoreError } from "./errors.ts";
import type { FileSystem } from "./fs.ts";
import type { Ids } from "./interfaces.ts";
import { jsonOf } from "./text.ts";
import { saving } from "./unsaved.ts";
import { writeWhole } from "./whole.ts";

export const MAPPINGS = "clip-mappings.json";
export const LARGEST_MAPPINGS = 256 * 1024;

export const MappingsFile = z.strictObject({
  format: z.literal("countercut-mappings"),
  version: z.literal(1),
  mappings: MappingList,
});

export class Mappings {
  readonly #disk: { readonly fs: FileSystem; readonly ids: Ids };
  readonly #folder: string;

  /** @param folder of the routines */
  constructor(disk: { readonly fs: FileSystem; readonly ids: Ids }, folder: string) {
    this.#disk = disk;
    this.#folder = folder;
  }

  /** @throws StoreError `not-ours` where the file is there and no file of mappings: it is left as it is */
  async list(): Promise<readonly Mapping[]> {
    const bytes = await this.#disk.fs.read(`${this.#folder}/${MAPPINGS}`, LARGEST_MAPPINGS);
    if (bytes === null) return [];
    const read = MappingsFile.safeParse(jsonOf(bytes));
    if (read.success) return read.data.mappings;
    const message = `The file ${MAPPINGS} in ${this.#folder} cannot be read as mappings. Mend it, or move it away.`;
    throw new StoreError("not-ours", message);
  }

  /** All of them, in place of those that were there. @throws StoreError */
  keep(mappings: readonly Mapping[]): Promise<void> {
    const file = { format: "countercut-mappings", version: 1, mappings };
    const text = `${JSON.stringify(file, null, 2)}\n`;
    return saving(() => writeWhole(this.#disk, this.#folder, MAPPINGS, text, { mayReplace: true }));
  }
}
