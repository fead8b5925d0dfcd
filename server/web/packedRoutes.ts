/** A routine with the sounds that it plays as one file: taken away, and opened again where it is dropped. */
import { constants } from "node:fs";
import { open, readdir } from "node:fs/promises";
import { once } from "node:events";
import { Zip, ZipPassThrough } from "fflate";
import { unzip, ZipError } from "../clips/unzip.ts";
import type { Jobs } from "../jobs/jobs.ts";
import { soundsIn } from "../routine/lookups.ts";
import type { Live } from "../live/live.ts";
import { soundsFirst } from "../live/soundsFirst.ts";
import { type SoundBank, soundFolder } from "../live/soundBank.ts";
import { freeName, nameFault, nameOfFile, soundsOf, SUFFIX, twinKey } from "../store/names.ts";
import { type Answered, WebError } from "./answered.ts";
import { attachment } from "./attachment.ts";
import { bodyParts, wantedBy } from "./body.ts";
import { admittedOf } from "./gate.ts";
import { soundName, takeSound } from "./takeSound.ts";

const MIB = 1024 * 1024;
/** Bytes of a packed routine, as it comes and unpacked. */
const LARGEST = 256 * MIB;
const LARGEST_UNPACKED = 384 * MIB;
/** The routine, and its samples and beats at most. */
const MOST_FILES = 513;
const SOUNDS = "sounds/";
/** The zip format counts from 1980, in local time: midday, so that no time zone moves the day. */
const DATE = new Date(1980, 0, 1, 12);

export function packedRoutes(live: Live, bank: SoundBank, jobs: Jobs): Answered[] {
  return [
    {
      route: { method: "GET", path: "/routines/:name/packed.zip", kind: "api" },
      async answer(request, response) {
        const name = admittedOf(request).params.name ?? "";
        const routine = await live.open(name);
        const { text } = routine.text;
        attachment(response, `${name}.zip`, "application/zip");
        const wanted = wantedBy(response);
        let full = false;
        const zip = new Zip((error, piece, last) => {
          if (error !== null) response.destroy(error);
          else full = !response.write(piece) || full;
          if (last) response.end();
        });
        const add = (file: string): ZipPassThrough => {
          const entry = new ZipPassThrough(file);
          entry.mtime = DATE;
          zip.add(entry);
          return entry;
        };
        add(`${name}${SUFFIX}`).push(Buffer.from(text), true);
        const folder = soundFolder(live.folder.path, name);
        for (const file of soundsIn(routine.present.worked.routine)) {
          if (nameFault(file) !== null) continue;
          // A link in the folder is not followed out of it; a sound that is not there is left out.
          const flags = constants.O_RDONLY | constants.O_NOFOLLOW;
          const handle = await open(`${folder}/${file}`, flags).catch(() => null);
          if (handle === null) continue;
          const entry = add(`${SOUNDS}${file}`);
          for await (const piece of handle.createReadStream()) {
            if (wanted.aborted) return;
            entry.push(piece as Uint8Array, false);
            if (full) await Promise.race([once(response, "drain"), once(response, "close")]);
            full = false;
          }
          entry.push(new Uint8Array(), true);
        }
        zip.end();
      },
    },
    {
      route: {
        method: "POST",
        path: "/packed",
        kind: "api",
        body: { type: "application/zip", largest: LARGEST },
      },
      async answer(request, response) {
        const files = await unzip(bodyParts(request), { entries: MOST_FILES, bytes: LARGEST_UNPACKED }).catch(
          (error: unknown) => {
            if (error instanceof ZipError) throw new WebError(422, "no-zip", error.message);
            throw error;
          },
        );
        const routines = [...files.keys()].filter((file) => nameOfFile(file) !== null);
        const [file] = routines;
        if (file === undefined || routines.length > 1) {
          const message = `One routine is expected in the file, a name ending in ${SUFFIX}; it holds ${routines.length}.`;
          throw new WebError(422, "no-routine", message);
        }
        const wished = nameOfFile(file) as string;
        const taken = await takenIn(live);
        const name = taken.some((one) => twinKey(one) === twinKey(wished))
          ? freeName(wished, "brought", taken)
          : wished;
        const text = new TextDecoder().decode(files.get(file));
        const folder = soundFolder(live.folder.path, name);
        const notes = await soundsFirst(
          live.folder.path,
          folder,
          (into) => putSounds(files, into, jobs, wantedBy(response)),
          () => live.create(name, { text }),
        );
        bank.forget(folder);
        response.status(201).json({ name, notes });
      },
    },
  ];
}

/** Names of routines, and of those of which only the sounds are left. */
async function takenIn(live: Live): Promise<string[]> {
  const routines = (await live.list()).map(({ name }) => name);
  const ending = soundsOf("");
  const folders = (await readdir(live.folder.path)).filter((file) => file.endsWith(ending));
  return [...routines, ...folders.map((file) => file.slice(0, -ending.length))];
}

/** @returns a sentence for each that is no sound, or has no name that one can have: those are left out */
async function putSounds(
  files: ReadonlyMap<string, Uint8Array>,
  into: string,
  jobs: Jobs,
  wanted: AbortSignal,
): Promise<string[]> {
  const notes: string[] = [];
  for (const [path, bytes] of files) {
    if (!path.startsWith(SOUNDS)) continue;
    const file = path.slice(SOUNDS.length);
    try {
      await takeSound(into, soundName(file), [bytes], jobs, wanted);
    } catch (error) {
      if (!(error instanceof WebError)) throw error;
      notes.push(`${file} was left out: ${error.message}`);
    }
  }
  return notes;
}
