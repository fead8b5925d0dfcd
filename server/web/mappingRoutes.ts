/** Mappings that are kept in the folder for all its routines. */
import { z } from "zod";
import { Mappings } from "../../schemas/mapping.ts";
import type { FileSystem } from "../store/fs.ts";
import type { Ids } from "../store/interfaces.ts";
import { writeWhole } from "../store/whole.ts";
import { type Answered, WebError } from "./answered.ts";
import { readJson } from "./body.ts";

export const MAPPINGS_FILE = "clip-mappings.json";
const LARGEST = 256 * 1024;
const DEPTH = 8;

export const Shelf = z.strictObject({
  format: z.literal("countercut-mappings"),
  version: z.literal(1),
  mappings: Mappings,
});

/** @param folder of the routines */
export function mappingRoutes(
  disk: { readonly fs: FileSystem; readonly ids: Ids },
  folder: string,
): Answered[] {
  return [
    {
      route: { method: "GET", path: "/mappings", kind: "api" },
      async answer(_request, response) {
        const bytes = await disk.fs.read(`${folder}/${MAPPINGS_FILE}`, LARGEST);
        if (bytes === null) {
          response.json({ mappings: [] });
          return;
        }
        const read = Shelf.safeParse(jsonOf(bytes));
        if (!read.success) {
          const message = `The file ${MAPPINGS_FILE} in ${folder} cannot be read as mappings. Mend it, or move it away.`;
          throw new WebError(409, "unreadable", message);
        }
        response.json({ mappings: read.data.mappings });
      },
    },
    {
      route: {
        method: "PUT",
        path: "/mappings",
        kind: "api",
        body: { type: "application/json", largest: LARGEST },
      },
      async answer(request, response) {
        const body = z.strictObject({ mappings: Mappings }).safeParse(await readJson(request, DEPTH));
        if (!body.success) throw new WebError(422, "shape", "A list of mappings is expected.");
        const shelf = { format: "countercut-mappings", version: 1, mappings: body.data.mappings };
        await writeWhole(disk, folder, MAPPINGS_FILE, `${JSON.stringify(shelf, null, 2)}\n`, {
          mayReplace: true,
        });
        response.json(body.data);
      },
    },
  ];
}

function jsonOf(bytes: Uint8Array): unknown {
  try {
    return JSON.parse(new TextDecoder("utf-8", { fatal: true }).decode(bytes));
  } catch {
    return undefined;
  }
}
