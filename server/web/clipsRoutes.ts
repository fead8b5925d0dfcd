/** A routine's clips, one by one or as a zip. */
import { type Clips, clipFiles } from "../clips/clipFiles.ts";
import { zipOfClips } from "../clips/zip.ts";
import type { Live } from "../live/live.ts";
import type { Worked } from "../live/worked.ts";
import { type Answered, WebError } from "./answered.ts";
import { attachment } from "./attachment.ts";
import { admittedOf } from "./gate.ts";

type Request = Parameters<Answered["answer"]>[0];

export function clipsRoutes(live: Live): Answered[] {
  /** Clips of routines at a resolution, made once for each state of a routine. */
  const made = new WeakMap<Worked, Map<string, Clips>>();

  async function clipsOf(request: Request) {
    const { params, query } = admittedOf(request);
    const { worked } = (await live.open(params.name ?? "")).present;
    const ppq = resolution(query.get("ppq"));
    const known = made.get(worked) ?? new Map<string, Clips>();
    made.set(worked, known);
    const clips = known.get(String(ppq)) ?? clipFiles(worked.sound, worked.performance, { ppq });
    known.set(String(ppq), clips);
    return { worked, clips, name: params.name ?? "", file: params.file };
  }

  return [
    {
      route: { method: "GET", path: "/routines/:name/clips", kind: "api" },
      async answer(request, response) {
        const { worked, clips } = await clipsOf(request);
        const { ppq, exact, leftOut } = clips;
        response.json({
          ppq,
          exact,
          leftOut,
          clips: clips.files.map(({ name, section, strand, player, bytes }) => ({
            file: name,
            section: section === null ? null : (worked.sound.sections[section]?.id ?? null),
            strand: strand ?? "routine",
            player,
            bytes: bytes.length,
            exact,
          })),
        });
      },
    },
    {
      route: { method: "GET", path: "/routines/:name/clips/:file", kind: "api" },
      async answer(request, response) {
        const { clips, file } = await clipsOf(request);
        const clip = clips.files.find(({ name }) => name === file);
        if (clip === undefined) throw new WebError(404, "not-found", "There is no such clip any more.");
        attachment(response, clip.name, "audio/midi");
        response.end(clip.bytes);
      },
    },
    {
      route: { method: "GET", path: "/routines/:name/clips.zip", kind: "api" },
      async answer(request, response) {
        const { worked, clips, name } = await clipsOf(request);
        attachment(response, `${name}.zip`, "application/zip");
        response.end(zipOfClips(worked.sound, worked.performance, clips));
      },
    },
  ];
}

const HIGHEST = 32_767;

function resolution(text: string | null): number | "exact" {
  if (text === null) return 960;
  if (text === "exact") return text;
  const ppq = /^\d{1,5}$/.test(text) ? Number(text) : 0;
  if (ppq < 1 || ppq > HIGHEST) {
    throw new WebError(422, "resolution", `ppq takes a whole number from 1 to ${HIGHEST}, or exact.`);
  }
  return ppq;
}
