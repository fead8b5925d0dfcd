/**
 * What is answered over HTTP: the page's files, the exchange of a link, and files of a routine to take away or to
 * bring. The gate has let in whatever comes here; the routes that exist are listed beside their answers.
 */
import express, { type NextFunction, type Request, type Response } from "express";
import { z } from "zod";
import { NoExactResolution } from "../clips/making.ts";
import { JobBroken, type Jobs } from "../jobs/jobs.ts";
import type { FolderKeeper } from "../clips-folder/keeper.ts";
import type { ClipStore } from "../live/clipStore.ts";
import type { Live } from "../live/live.ts";
import { Unreadable } from "../live/openRoutine.ts";
import { RecordingDesk } from "../live/recordings.ts";
import type { SoundBank } from "../live/soundBank.ts";
import { compareInWorker } from "../recordings/compareWorkers.ts";
import type { Heard } from "../sound/heardWorkers.ts";
import type { RenderWav } from "../sound/renderWorkers.ts";
import { StoreError } from "../store/errors.ts";
import type { FileSystem } from "../store/fs.ts";
import type { Ids } from "../store/interfaces.ts";
import { Mappings } from "../store/mappings.ts";
import { Phrases } from "../store/phrases.ts";
import { readJson } from "./body.ts";
import { BodyError } from "./safeJson.ts";
import { clipsFolderRoutes } from "./clipsFolderRoutes.ts";
import { clipsRoutes } from "./clipsRoutes.ts";
import { type Answered, WebError } from "./answered.ts";
import { answerRefusal } from "./gate.ts";
import type { Gate, Limits, Refusal, Route } from "./interfaces.ts";
import { mappingRoutes } from "./mappingRoutes.ts";
import { midiRoutes } from "./midiRoutes.ts";
import { packedRoutes } from "./packedRoutes.ts";
import type { PageFile } from "./pages.ts";
import { pageRoutes } from "./pages.ts";
import { phrasesRoutes } from "./phrasesRoutes.ts";
import { recordingRoutes } from "./recordingRoutes.ts";
import { soundRoutes } from "./soundRoutes.ts";
import type { Tokens } from "./tokens.ts";

const SOCKETS: readonly Route[] = [
  { method: "GET", path: "/live", kind: "socket" },
  { method: "GET", path: "/sound", kind: "socket" },
];

const Exchange = z.strictObject({ token: z.string().max(200) });

const session = (tokens: Tokens, limits: Limits): Answered => ({
  route: {
    method: "POST",
    path: "/session",
    kind: "open",
    body: { type: "application/json", largest: 1024 },
  },
  async answer(request, response) {
    const body = Exchange.safeParse(await readJson(request, limits.depth));
    if (!body.success) throw new WebError(422, "shape", "A link's token is expected.");
    const bearer = await tokens.exchange(body.data.token);
    if (bearer === null) {
      throw new WebError(
        401,
        "expired",
        "The link was used or has expired. A page that was let in makes another, and countercut serve prints one when it starts.",
      );
    }
    response.json({ bearer });
  },
});

export interface Parts {
  readonly live: Live;
  readonly bank: SoundBank;
  readonly renderWav: RenderWav;
  readonly heard: Heard;
  readonly jobs: Jobs;
  readonly clips: ClipStore;
  readonly keeper: FolderKeeper;
  readonly disk: { readonly fs: FileSystem; readonly ids: Ids };
  readonly pages: readonly PageFile[];
  readonly tokens: Tokens;
  readonly limits: Limits;
}

const answersOf = ({
  live,
  bank,
  renderWav,
  heard,
  jobs,
  clips,
  keeper,
  disk,
  tokens,
  limits,
}: Parts): readonly Answered[] => [
  session(tokens, limits),
  ...clipsRoutes(live, clips),
  ...clipsFolderRoutes(live, keeper),
  ...mappingRoutes(new Mappings(disk, live.folder.path)),
  ...recordingRoutes(new RecordingDesk(live, bank, disk, compareInWorker), jobs, limits),
  ...soundRoutes(live, bank, renderWav, heard, jobs),
  ...packedRoutes(live, bank, jobs),
  ...phrasesRoutes(new Phrases(disk, live.folder.path), live.folder.path, jobs),
  ...midiRoutes(jobs, live),
];

/** Everything that exists, for the gate. */
export const routesOf = (parts: Parts): Route[] => [
  ...pageRoutes(parts.pages),
  ...SOCKETS,
  ...answersOf(parts).map(({ route }) => route),
];

export function createApp(parts: Parts, gate: () => Gate): express.Express {
  const app = express();
  app.disable("x-powered-by");
  app.disable("etag");
  app.use((request, response, next) => {
    if (gate().admit(request, response) !== null) next();
  });
  for (const { path, type, bytes } of parts.pages) {
    app.get(path, (_request, response) => {
      response.setHeader("Content-Type", type);
      response.end(bytes);
    });
  }
  for (const { route, answer } of answersOf(parts)) {
    const method = route.method.toLowerCase() as "get" | "post" | "put" | "patch" | "delete";
    app[method](route.path, answer);
  }
  app.use((error: unknown, request: Request, response: Response, _next: NextFunction) => {
    if (response.headersSent) {
      response.destroy();
      return;
    }
    answerRefusal(request, response, refusalOf(error));
  });
  return app;
}

function refusalOf(error: unknown): Refusal {
  if (error instanceof WebError || error instanceof BodyError) return error.refusal;
  if (error instanceof StoreError) return { status: error.status, code: error.code, message: error.message };
  if (error instanceof Unreadable) return { status: 422, code: "routine", message: error.message };
  if (error instanceof NoExactResolution) return { status: 422, code: "resolution", message: error.message };
  if (error instanceof JobBroken) return { status: 503, code: "broken-off", message: error.message };
  // A path that cannot be decoded never comes past the gate; what is left is a bug.
  console.error(error);
  return { status: 500, code: "bug", message: "Something went wrong in the program." };
}
