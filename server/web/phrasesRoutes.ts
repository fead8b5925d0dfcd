/** The user's own phrases: listed, kept, removed; and the sounds of recorded beats among them, brought and taken. */
import { constants } from "node:fs";
import { mkdir, open, rm } from "node:fs/promises";
import { join } from "node:path";
import { pipeline } from "node:stream/promises";
import { MyPhrase } from "../../schemas/phrases.ts";
import { Id } from "../../schemas/routine.ts";
import type { Jobs } from "../jobs/jobs.ts";
import { beatProblems } from "../routine/checkBeat.ts";
import { patternProblems } from "../routine/checkPattern.ts";
import type { Phrases } from "../store/phrases.ts";
import { LARGEST_SOUND } from "../store/largest.ts";
import { type Answered, WebError } from "./answered.ts";
import { attachment } from "./attachment.ts";
import { bodyParts, readJson, wantedBy } from "./body.ts";
import { admittedOf } from "./gate.ts";
import { takeSound } from "./takeSound.ts";

/** Bytes of one phrase or beat. */
const LARGEST = 4 * 1024 * 1024;
const DEPTH = 12;

/** Under the routines' folder. A routine's own is named after it, with a dot: no name can be this one. */
const SOUNDS = "my-phrases-sounds";

/** @throws WebError */
function soundOf(id: string | undefined): string {
  const read = Id.safeParse(id);
  if (!read.success) throw new WebError(422, "bad-name", "This is no id of a phrase.");
  return `${read.data}.wav`;
}

/** @param folder of the routines */
export function phrasesRoutes(phrases: Phrases, folder: string, jobs: Jobs): Answered[] {
  const sounds = join(folder, SOUNDS);
  return [
    {
      route: { method: "GET", path: "/my-phrases", kind: "api" },
      async answer(_request, response) {
        response.json({ phrases: await phrases.list() });
      },
    },
    {
      route: {
        method: "PUT",
        path: "/my-phrases/:id",
        kind: "api",
        body: { type: "application/json", largest: LARGEST },
      },
      async answer(request, response) {
        const { params } = admittedOf(request);
        const body = MyPhrase.safeParse(await readJson(request, DEPTH));
        if (!body.success || body.data.id !== params.id)
          throw new WebError(422, "shape", "A phrase or a beat with this id is expected.");
        const phrase = body.data;
        const [fault] = "pattern" in phrase ? patternProblems(phrase.pattern) : beatProblems(phrase.beat);
        if (fault !== undefined) throw new WebError(422, fault.code, fault.message);
        response.json({ phrases: await phrases.keep(phrase) });
      },
    },
    {
      route: { method: "DELETE", path: "/my-phrases/:id", kind: "api" },
      async answer(request, response) {
        const { id = "" } = admittedOf(request).params;
        const left = await phrases.remove(id);
        await rm(join(sounds, soundOf(id)), { force: true });
        response.json({ phrases: left });
      },
    },
    {
      route: { method: "GET", path: "/my-phrases/:id/sound", kind: "api" },
      async answer(request, response) {
        const file = soundOf(admittedOf(request).params.id);
        // A link in the folder is not followed out of it.
        const flags = constants.O_RDONLY | constants.O_NOFOLLOW;
        const handle = await open(join(sounds, file), flags).catch(() => null);
        if (handle === null) throw new WebError(404, "not-found", "The recording of this beat is not there.");
        attachment(response, file, "audio/wav");
        await pipeline(handle.createReadStream(), response);
      },
    },
    {
      route: {
        method: "PUT",
        path: "/my-phrases/:id/sound",
        kind: "api",
        body: { type: "audio/wav", largest: LARGEST_SOUND },
      },
      async answer(request, response) {
        const file = soundOf(admittedOf(request).params.id);
        await mkdir(sounds, { recursive: true });
        await takeSound(sounds, file, bodyParts(request), jobs, wantedBy(response));
        response.status(201).json({ file });
      },
    },
  ];
}
