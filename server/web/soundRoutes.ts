/** A routine as WAV, and the sounds of its own that it plays: brought, listed, taken. */
import { constants } from "node:fs";
import { lstat, mkdir, open, readdir, stat } from "node:fs/promises";
import { join } from "node:path";
import type { ServerResponse } from "node:http";
import { pipeline } from "node:stream/promises";
import { Readable } from "node:stream";
import type { Jobs } from "../jobs/jobs.ts";
import type { Live } from "../live/live.ts";
import { SILENT } from "../sound/clicksFor.ts";
import { readerIn, type SoundBank, soundFolder } from "../live/soundBank.ts";
import { createWorker, isWorked, type Worked } from "../live/worked.ts";
import type { Performance } from "../../schemas/performance.ts";
import { Routine } from "../../schemas/routine.ts";
import { StoreError } from "../store/errors.ts";
import { wavName } from "../clips/names.ts";
import { type Part, PARTS } from "../sound/export.ts";
import type { WavMeasure } from "../sound/render.worker.ts";
import type { Heard } from "../sound/heardWorkers.ts";
import type { RenderedWav, RenderWav } from "../sound/renderWorkers.ts";
import { LARGEST_SOUND } from "../store/largest.ts";
import { type Answered, WebError } from "./answered.ts";
import { attachment } from "./attachment.ts";
import { bodyParts, readJson, wantedBy } from "./body.ts";
import { admittedOf } from "./gate.ts";
import { soundName, takeSound } from "./takeSound.ts";

/** Bytes of a routine that plays by itself, and how deep it may be nested. */
const LARGEST_ALONE = 4 * 1024 * 1024;
const DEPTH = 16;

/** WAV files that are rendered at a time, each by a thread. */
const MOST_AT_ONCE = 4;

export function soundRoutes(
  live: Live,
  bank: SoundBank,
  renderWav: RenderWav,
  heard: Heard,
  jobs: Jobs,
): Answered[] {
  const folderOf = (name: string): string => soundFolder(live.folder.path, name);
  let writing = 0;
  /** By what was heard, then part and section. */
  const measures = new WeakMap<Performance, Map<string, WavMeasure>>();

  /** The pieces of a file; what was measured is there to be asked for before the last is sent. */
  async function* told(
    wav: RenderedWav,
    performance: Performance,
    key: string,
  ): AsyncGenerator<Uint8Array, void, undefined> {
    for await (const piece of wav.pieces()) {
      const measured = wav.measured();
      if (measured !== null)
        measures.set(
          performance,
          (measures.get(performance) ?? new Map<string, WavMeasure>()).set(key, measured),
        );
      yield piece;
    }
  }

  async function picture(
    name: string,
    { sound, performance }: Worked,
    index: number,
    response: ServerResponse,
  ): Promise<void> {
    const where = folderOf(name);
    const soundsNow = () => bank.soundsOf(sound, where, readerIn(where), SILENT, () => {});
    soundsNow();
    await bank.settled();
    const peaks = await heard(sound, performance, index, soundsNow().samples);
    response.setHeader("Content-Type", "application/octet-stream");
    response.end(peaks);
  }

  return [
    {
      route: { method: "GET", path: "/routines/:name/sound.wav", kind: "api" },
      async answer(request, response) {
        const { params, query } = admittedOf(request);
        const name = params.name ?? "";
        const { sound, performance } = (await live.open(name)).present.worked;
        const part = query.get("part") ?? "mix";
        const section = query.get("section");
        if (!(PARTS as readonly string[]).includes(part)) {
          throw new WebError(422, "part", `part takes ${PARTS.join(", ")}.`);
        }
        if (section !== null && !sound.sections.some(({ id }) => id === section)) {
          throw new WebError(404, "not-found", `There is no section "${section}" any more.`);
        }
        if (writing >= MOST_AT_ONCE) {
          const message = `${MOST_AT_ONCE} sounds are being written already. Try again when one is done.`;
          throw new WebError(429, "busy", message);
        }
        writing++;
        try {
          const where = folderOf(name);
          const soundsNow = () => bank.soundsOf(sound, where, readerIn(where), SILENT, () => {});
          soundsNow();
          await bank.settled();
          const { samples, beats } = soundsNow();
          const wish = { part: part as Part, ...(section === null ? {} : { section }) };
          const wav = await renderWav({ routine: sound, performance, samples, beats, wish });
          if (response.destroyed) return wav.cancel();
          attachment(response, `${wavName(sound, section, part)}.wav`, "audio/wav");
          // How much has come of it is the progress, and breaking off the answer ends the work.
          response.setHeader("Content-Length", wav.size);
          await pipeline(Readable.from(told(wav, performance, `${part} ${section ?? ""}`)), response);
        } finally {
          writing--;
        }
      },
    },
    {
      // Of a file that was taken last: what it measured can only be known when all of it was written.
      route: { method: "GET", path: "/routines/:name/loudness", kind: "api" },
      async answer(request, response) {
        const { params, query } = admittedOf(request);
        const { performance } = (await live.open(params.name ?? "")).present.worked;
        const key = `${query.get("part") ?? "mix"} ${query.get("section") ?? ""}`;
        const measure = measures.get(performance)?.get(key);
        if (measure === undefined)
          throw new WebError(404, "not-found", "This was not written yet. Download it first.");
        const { integrated, truePeak } = measure;
        // Silence is minus infinity, which JSON does not know.
        const finite = (value: number): number | null => (Number.isFinite(value) ? value : null);
        response.json({ integrated: finite(integrated), truePeak: finite(truePeak) });
      },
    },
    {
      // The picture of what is heard in a section: bytes, see server/sound/heard.ts.
      route: { method: "GET", path: "/routines/:name/heard/:section", kind: "api" },
      async answer(request, response) {
        const { params } = admittedOf(request);
        // A routine or a section that went while it was asked for is no fault: nothing of it is heard.
        const open = await live.open(params.name ?? "").catch((error: unknown) => {
          if (error instanceof StoreError && error.code === "not-found") return null;
          throw error;
        });
        const worked = open?.present.worked;
        const index = worked?.sound.sections.findIndex(({ id }) => id === params.section) ?? -1;
        if (open === null || worked === undefined || index < 0) {
          response.status(204).end();
          return;
        }
        await picture(open.name, worked, index, response);
      },
    },
    {
      // The same of what plays by itself, a routine of one section, with the sounds of the one that it is from.
      route: {
        method: "POST",
        path: "/routines/:name/heard",
        kind: "api",
        body: { type: "application/json", largest: LARGEST_ALONE },
      },
      async answer(request, response) {
        const { name } = await live.open(admittedOf(request).params.name ?? "");
        const routine = Routine.safeParse(await readJson(request, DEPTH));
        const worked = routine.success ? createWorker()(routine.data as Routine) : null;
        if (worked === null || !isWorked(worked))
          throw new WebError(422, "shape", "A routine that can be played is expected.");
        await picture(name, worked, 0, response);
      },
    },
    {
      route: { method: "GET", path: "/routines/:name/sounds", kind: "api" },
      async answer(request, response) {
        const { params } = admittedOf(request);
        await live.open(params.name ?? "");
        const folder = folderOf(params.name ?? "");
        const entries = await readdir(folder, { withFileTypes: true }).catch(() => []);
        const names = entries.filter((entry) => entry.isFile() && /\.wav$/i.test(entry.name));
        const sounds = await Promise.all(
          names.map(async ({ name }) => ({ file: name, bytes: (await stat(join(folder, name))).size })),
        );
        response.json({ sounds: sounds.sort((a, b) => (a.file < b.file ? -1 : 1)) });
      },
    },
    {
      route: { method: "GET", path: "/routines/:name/sounds/:file", kind: "api" },
      async answer(request, response) {
        const { params } = admittedOf(request);
        await live.open(params.name ?? "");
        const file = soundName(params.file);
        // A link in the folder is not followed out of it.
        const flags = constants.O_RDONLY | constants.O_NOFOLLOW;
        const handle = await open(join(folderOf(params.name ?? ""), file), flags).catch(() => null);
        if (handle === null) throw new WebError(404, "not-found", `There is no sound ${file}.`);
        attachment(response, file, "audio/wav");
        await pipeline(handle.createReadStream(), response);
      },
    },
    {
      route: { method: "GET", path: "/routines/:name/sounds/:file/tempo", kind: "api" },
      async answer(request, response) {
        const { params } = admittedOf(request);
        await live.open(params.name ?? "");
        const file = soundName(params.file);
        const path = join(folderOf(params.name ?? ""), file);
        // A link in the folder is not followed out of it.
        const there = await lstat(path).catch(() => null);
        if (there?.isFile() !== true) throw new WebError(404, "not-found", `There is no sound ${file}.`);
        const found = await jobs.wavTempo(path, wantedBy(response));
        if ("problem" in found) throw new WebError(422, "no-tempo", found.problem);
        response.json(found);
      },
    },
    {
      route: {
        method: "PUT",
        path: "/routines/:name/sounds/:file",
        kind: "api",
        body: { type: "audio/wav", largest: LARGEST_SOUND },
      },
      async answer(request, response) {
        const { params } = admittedOf(request);
        const name = params.name ?? "";
        await live.open(name);
        const file = soundName(params.file);
        const folder = folderOf(name);
        await mkdir(folder, { recursive: true });
        await takeSound(folder, file, bodyParts(request), jobs, wantedBy(response));
        bank.forget(folder);
        response.status(201).json({ file });
      },
    },
  ];
}
