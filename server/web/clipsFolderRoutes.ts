/** The folder that is kept fresh with a routine's clips: chosen, looked at, given up. */
import { z } from "zod";
import type { FolderKeeper } from "../clips-folder/keeper.ts";
import type { Live } from "../live/live.ts";
import { type Answered, WebError } from "./answered.ts";
import { readJson } from "./body.ts";
import { admittedOf } from "./gate.ts";

const Choice = z.strictObject({ path: z.string().max(4096).nullable() });
const Again = z.strictObject({ writeOver: z.string().max(300).nullable() });
/** Milliseconds that a page waits for the next state. */
const LONGEST_WAIT = 20_000;
const DEPTH = 4;

export function clipsFolderRoutes(live: Live, keeper: FolderKeeper): Answered[] {
  const json = { type: "application/json", largest: 16 * 1024 };
  return [
    {
      route: { method: "GET", path: "/routines/:name/clips-folder", kind: "api" },
      async answer(request, response) {
        const { params, query } = admittedOf(request);
        const { name } = await live.open(params.name ?? "");
        response.json(await keeper.after(name, Number(query.get("after") ?? -1), LONGEST_WAIT));
      },
    },
    {
      route: { method: "PUT", path: "/routines/:name/clips-folder", kind: "api", body: json },
      async answer(request, response) {
        const routine = await live.open(admittedOf(request).params.name ?? "");
        const body = Choice.safeParse(await readJson(request, DEPTH));
        if (!body.success) throw new WebError(422, "shape", "The path of a folder is expected.");
        const chosen = await keeper.choose(routine, body.data.path);
        if ("problem" in chosen) throw new WebError(422, "folder", chosen.problem);
        response.json(chosen);
      },
    },
    {
      route: { method: "POST", path: "/routines/:name/clips-folder", kind: "api", body: json },
      async answer(request, response) {
        const { name } = await live.open(admittedOf(request).params.name ?? "");
        const body = Again.safeParse(await readJson(request, DEPTH));
        if (!body.success) throw new WebError(422, "shape", "The name of a file, or null, is expected.");
        const { writeOver } = body.data;
        if (writeOver === null) keeper.tryAgain(name);
        else keeper.writeOver(name, writeOver);
        response.json(keeper.stateOf(name));
      },
    },
  ];
}
