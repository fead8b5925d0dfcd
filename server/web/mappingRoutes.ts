/** Mappings that are kept in the folder for all its routines: listed, and put in place of those that were there. */
import { z } from "zod";
import { Mappings as MappingList } from "../../schemas/mapping.ts";
import { LARGEST_MAPPINGS, type Mappings } from "../store/mappings.ts";
import { type Answered, WebError } from "./answered.ts";
import { readJson } from "./body.ts";

const DEPTH = 8;

export function mappingRoutes(mappings: Mappings): Answered[] {
  return [
    {
      route: { method: "GET", path: "/mappings", kind: "api" },
      async answer(_request, response) {
        response.json({ mappings: await mappings.list() });
      },
    },
    {
      route: {
        method: "PUT",
        path: "/mappings",
        kind: "api",
        body: { type: "application/json", largest: LARGEST_MAPPINGS },
      },
      async answer(request, response) {
        const body = z.strictObject({ mappings: MappingList }).safeParse(await readJson(request, DEPTH));
        if (!body.success) throw new WebError(422, "shape", "A list of mappings is expected.");
        await mappings.keep(body.data.mappings);
        response.json(body.data);
      },
    },
  ];
}
