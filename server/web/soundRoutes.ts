/** A routine as WAV, and the sounds of its own that it plays: brought, listed, taken. */
import { constants, createWriteStream } from "node:fs";
import { mkdir, open, readdir, readFile, rename, rm, stat } from "node:fs/promises";
import { join } from "node:path";
import { finished, pipeline } from "node:stream/promises";
import { Readable } from "node:stream";
import type { Live } from "../live/live.ts";
import { clicksFor, readerIn, type SoundBank, soundFolder } from "../live/soundBank.ts";
import { exportWav, type Part, PARTS } from "../sound/export.ts";
import { readWav } from "../sound/wavread.ts";
import { nameFault } from "../store/names.ts";
import { timelineOf } from "../time/timeline.ts";
import { type Answered, WebError } from "./answered.ts";
import { attachment } from "./attachment.ts";
import { bodyParts } from "./body.ts";
import { admittedOf } from "./gate.ts";

/** Bytes of one sound: about ten minutes in stereo. */
const LARGEST_SOUND = 256 * 1024 * 1024;

/** A name ending in .wav that is safe on every system. @throws WebError */
function soundName(name: string | undefined): string {
  if (name === undefined || !/\.wav$/i.test(name) || name.length > 200) {
    throw new WebError(422, "bad-name", "A sound's name ends in .wav and has at most 200 characters.");
  }
  const fault = nameFault(name);
  if (fault !== null) throw new WebError(422, "bad-name", `${fault} Choose another name.`);
  return name;
}

export function soundRoutes(live: Live, bank: SoundBank): Answered[] {
  const folderOf = (name: string): string => soundFolder(live.folder.path, name);

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
        const where = folderOf(name);
        const clicks = clicksFor({ beat: true, record: true, fader: true });
        const sounds = () => bank.soundsOf(sound, where, readerIn(where), clicks, () => {});
        sounds();
        await bank.settled();
        const wav = exportWav(
          sound,
          performance,
          timelineOf(sound.sections, performance.sections),
          sounds(),
          {
            part: part as Part,
            ...(section === null ? {} : { section }),
          },
        );
        attachment(response, `${name}${section === null ? "" : ` ${section}`}.wav`, "audio/wav");
        response.setHeader("Content-Length", wav.size);
        await pipeline(Readable.from(inTurns(wav.pieces())), response);
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
        const temporary = join(folder, `.${Date.now().toString(36)}-${process.hrtime.bigint()}.part`);
        try {
          const into = createWriteStream(temporary, { flags: "wx" });
          await pipeline(bodyParts(request), into);
          await finished(into).catch(() => {});
          const read = readWav(await readFile(temporary));
          if ("problem" in read) throw new WebError(422, "no-sound", `${file}: ${read.problem}`);
          await rename(temporary, join(folder, file));
        } finally {
          await rm(temporary, { force: true });
        }
        bank.forget(folder);
        response.status(201).json({ file });
      },
    },
  ];
}

/** Lets edits and playing in between the pieces. */
async function* inTurns(pieces: Iterable<Uint8Array>): AsyncGenerator<Uint8Array> {
  for (const piece of pieces) {
    yield piece;
    await new Promise((resolve) => setImmediate(resolve));
  }
}
