/** Recordings of a routine: brought, compared, listed, taken, put into the bin. */
import { z } from "zod";
import { PlayedTimes, RecordingAbout } from "../../schemas/recording.ts";
import type { Jobs, WavFacts } from "../jobs/jobs.ts";
import type { RecordingDesk } from "../live/recordings.ts";
import { LARGEST_SOUND } from "../store/largest.ts";
import { type Answered, WebError } from "./answered.ts";
import { attachment } from "./attachment.ts";
import { bodyParts, readJson, wantedBy } from "./body.ts";
import { admittedOf } from "./gate.ts";
import type { Limits } from "./interfaces.ts";
import { safeJson } from "./safeJson.ts";
import { withSound } from "./takeSound.ts";

const Played = z.strictObject({ about: RecordingAbout, times: PlayedTimes });
const ROOT = "/routines/:name/recordings";

/** @throws WebError */
function shaped<Value>(schema: z.ZodType<Value>, value: unknown): Value {
  const read = schema.safeParse(value);
  if (!read.success) throw new WebError(422, "shape", "What is said of the recording cannot be read.");
  return read.data;
}

export function recordingRoutes(desk: RecordingDesk, jobs: Jobs, limits: Limits): Answered[] {
  const named = (request: Parameters<Answered["answer"]>[0]) => {
    const { params } = admittedOf(request);
    return [params.name ?? "", params.id ?? ""] as const;
  };
  return [
    {
      route: { method: "GET", path: ROOT, kind: "api" },
      async answer(request, response) {
        response.json(await desk.list(named(request)[0]));
      },
    },
    {
      // What is said of it stands in the query: the body is the sound alone.
      route: {
        method: "PUT",
        path: ROOT,
        kind: "api",
        body: { type: "audio/wav", largest: LARGEST_SOUND },
      },
      async answer(request, response) {
        const about = shaped(
          RecordingAbout,
          safeJson(admittedOf(request).query.get("about") ?? "", limits.depth),
        );
        const [name] = named(request);
        const folder = await desk.place(name);
        const add = (file: string, facts: WavFacts) => desk.add(name, about, { file, facts });
        const kept = await withSound(folder, bodyParts(request), jobs, wantedBy(response), add);
        response.status(201).json(kept);
      },
    },
    {
      route: {
        method: "POST",
        path: ROOT,
        kind: "api",
        body: { type: "application/json", largest: 4 * 1024 * 1024 },
      },
      async answer(request, response) {
        const { about, times } = shaped(Played, await readJson(request, limits.depth));
        response.status(201).json(await desk.add(named(request)[0], about, { times }));
      },
    },
    {
      route: { method: "GET", path: `${ROOT}/:id`, kind: "api" },
      async answer(request, response) {
        response.json(await desk.read(...named(request)));
      },
    },
    {
      route: { method: "POST", path: `${ROOT}/:id/compare`, kind: "api" },
      async answer(request, response) {
        const wanted = wantedBy(response);
        try {
          const compared = await desk.compare(...named(request), wanted);
          if (!wanted.aborted) response.json(compared);
        } catch (error) {
          // Whoever asked has gone away.
          if (!wanted.aborted) throw error;
        }
      },
    },
    {
      route: { method: "GET", path: `${ROOT}/:id/compare`, kind: "api" },
      answer(request, response) {
        response.json({ done: desk.compared(...named(request)) });
      },
    },
    {
      route: { method: "GET", path: `${ROOT}/:id/own.wav`, kind: "api" },
      async answer(request, response) {
        const [name, id] = named(request);
        const { title } = await desk.read(name, id);
        const bytes = await desk.store(name).sound(id);
        attachment(response, `${title.replace(/[\\/:*?"<>|]/g, "-")} ${id}.wav`, "audio/wav");
        response.end(bytes);
      },
    },
    {
      route: { method: "GET", path: `${ROOT}/:id/meant.wav`, kind: "api" },
      async answer(request, response) {
        const [name, id] = named(request);
        const bytes = await desk.meant(name, id, wantedBy(response));
        attachment(response, `meant ${id}.wav`, "audio/wav");
        response.end(bytes);
      },
    },
    {
      route: { method: "DELETE", path: `${ROOT}/:id`, kind: "api" },
      async answer(request, response) {
        const [name, id] = named(request);
        await desk.store(name).remove(id);
        response.json({ id });
      },
    },
  ];
}
