/** A routine's clips: one by one, as a zip, as a table; and what stands in one. */
import { MOST_TICKS } from "../../schemas/mapping.ts";
import type { Follow } from "../jobs/clips.ts";
import type { ClipStore } from "../live/clipStore.ts";
import type { Live } from "../live/live.ts";
import { type Answered, WebError } from "./answered.ts";
import { attachment } from "./attachment.ts";
import { admittedOf } from "./gate.ts";
import { lineByLine } from "./lineByLine.ts";

type Request = Parameters<Answered["answer"]>[0];

/** Events of a clip that are told at most. */
const MOST_LISTED = 400;

export function clipsRoutes(live: Live, store: ClipStore): Answered[] {
  async function clipsOf(request: Request, follow?: Follow) {
    const { params, query } = admittedOf(request);
    const routine = await live.open(params.name ?? "");
    const made = await store.clipsOf(routine, resolution(query.get("ppq")), follow);
    return { ...made, name: params.name ?? "", file: params.file };
  }
  async function clipOf(request: Request) {
    const { clips, file } = await clipsOf(request);
    const clip = clips.files.find(({ name }) => name === file);
    if (clip === undefined) throw new WebError(404, "not-found", "There is no such clip any more.");
    return { clip, clips };
  }

  return [
    {
      route: { method: "GET", path: "/routines/:name/clips", kind: "api" },
      async answer(request, response) {
        if (admittedOf(request).query.get("told") === null) response.json(listOf(await clipsOf(request)));
        else await lineByLine(response, async (follow) => listOf(await clipsOf(request, follow)));
      },
    },
    {
      route: { method: "GET", path: "/routines/:name/clips/:file", kind: "api" },
      async answer(request, response) {
        const { clip } = await clipOf(request);
        attachment(response, clip.name, "audio/midi");
        response.end(clip.bytes);
      },
    },
    {
      route: { method: "GET", path: "/routines/:name/clips/:file/events", kind: "api" },
      async answer(request, response) {
        const { clip, clips } = await clipOf(request);
        response.json({ ppq: clips.ppq, ...(await store.accountOf(clip.bytes, MOST_LISTED)) });
      },
    },
    {
      route: { method: "GET", path: "/routines/:name/clips.zip", kind: "api" },
      async answer(request, response) {
        const { params, query } = admittedOf(request);
        const routine = await live.open(params.name ?? "");
        const zip = await store.zipOf(routine, resolution(query.get("ppq")));
        attachment(response, `${routine.name}.zip`, "application/zip");
        response.end(zip);
      },
    },
    {
      route: { method: "GET", path: "/routines/:name/sections.csv", kind: "api" },
      async answer(request, response) {
        const { clips, name } = await clipsOf(request);
        attachment(response, `${name}.csv`, "text/csv; charset=utf-8");
        response.end(clips.table);
      },
    },
  ];
}

function listOf({ worked, clips }: Awaited<ReturnType<ClipStore["clipsOf"]>>) {
  const { ppq, exact, leftOut, files } = clips;
  return {
    ppq,
    exact,
    leftOut,
    clips: files.map(({ name, section, strand, player, bytes, exact: onTicks }) => ({
      file: name,
      section: section === null ? null : (worked.sound.sections[section]?.id ?? null),
      strand: strand ?? "routine",
      player,
      bytes: bytes.length,
      exact: onTicks,
    })),
  };
}

/** Undefined where it is not said: the mapping's is taken. */
function resolution(text: string | null): number | "exact" | undefined {
  if (text === null) return undefined;
  if (text === "exact") return text;
  const ppq = /^\d{1,5}$/.test(text) ? Number(text) : 0;
  if (ppq < 24 || ppq > MOST_TICKS || ppq % 8 !== 0) {
    throw new WebError(422, "resolution", `ppq takes a multiple of 8 from 24 to ${MOST_TICKS}, or exact.`);
  }
  return ppq;
}
