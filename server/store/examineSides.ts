/** Looks through what stands beside the routines: sounds, recordings, practice, phrases, mappings, the bin. */
import { BIN } from "./bin.ts";
import type { Say } from "./examine.ts";
import type { FileSystem } from "./fs.ts";
import { readLines } from "./lines.ts";
import { isTemporary, nameFault, nameOfFile, practiceOf, recordingsOf, soundsOf } from "./names.ts";
import { LARGEST_SOUND } from "./largest.ts";
import { readFile } from "./recover.ts";

/** What these files mean, for which the store itself has no eye: a sentence about what is wrong, or null. */
export interface SideMeaning {
  /** Names of the sound files that a routine's text plays. */
  soundsIn(text: string): readonly string[];
  soundFault(bytes: Uint8Array): string | null;
  practiceFault(line: string): string | null;
  /** @returns also whether there is a sound to it */
  recordingFault(text: string): { readonly fault: string | null; readonly sounds: boolean };
  /** Of the files that stand once in a folder, by their name. */
  readonly single: ReadonlyMap<string, (text: string) => string | null>;
}

const SIDES = [
  { ending: soundsOf(""), kind: "folder" },
  { ending: recordingsOf(""), kind: "folder" },
  { ending: practiceOf(""), kind: "file" },
] as const;

export async function examineSides(
  fs: FileSystem,
  folder: string,
  meaning: SideMeaning,
  say: Say,
): Promise<void> {
  const entries = [...(await fs.list(folder))].sort((a, b) => (a.name < b.name ? -1 : 1));
  const routines = entries.flatMap(({ name, kind }) => (kind === "file" ? (nameOfFile(name) ?? []) : []));
  for (const { name: file, kind } of entries) {
    const single = meaning.single.get(file);
    if (single !== undefined) await safely(file, async () => examineSingle(file, single));
    const side = SIDES.find(({ ending }) => file.endsWith(ending));
    if (side === undefined) continue;
    const owner = file.slice(0, -side.ending.length);
    if (!routines.includes(owner)) say(file, "note", "belongs to no routine that is here; nothing reads it.");
    if (kind !== side.kind) {
      say(file, "wrong", `is no plain ${side.kind}, so the program leaves it out.`);
    } else if (side.ending === practiceOf("")) await safely(file, () => examinePractice(file));
    else if (side.ending === soundsOf("")) await examineSounds(file);
    else await examineRecordings(file);
  }
  for (const name of routines) await safely(name, () => examineUse(name));
  if (entries.some(({ name, kind }) => name === BIN && kind === "folder")) await examineBin();

  /** What cannot be read at all is said, and the rest is looked at. */
  async function safely(name: string, look: () => Promise<void>): Promise<void> {
    try {
      await look();
    } catch (error) {
      say(name, "wrong", `cannot be read: ${(error as Error).message}`);
    }
  }

  async function read(path: string): Promise<Uint8Array> {
    const bytes = await fs.read(`${folder}/${path}`, LARGEST_SOUND);
    if (bytes === null) throw new Error("it is not there any more.");
    return bytes;
  }

  async function text(path: string): Promise<string> {
    try {
      return new TextDecoder("utf-8", { fatal: true }).decode(await read(path));
    } catch (error) {
      throw error instanceof TypeError ? new Error("it is no UTF-8 text.") : error;
    }
  }

  async function examineSingle(file: string, faultOf: (text: string) => string | null): Promise<void> {
    const fault = faultOf(await text(file));
    if (fault === null) say(file, "note", "is whole.");
    else say(file, "wrong", `cannot be read: ${fault} It is left as it is; mend it, or move it away.`);
  }

  async function examinePractice(file: string): Promise<void> {
    const lines = await readLines(fs, `${folder}/${file}`);
    const bad = lines.flatMap((line, index) => {
      const fault = meaning.practiceFault(line);
      return fault === null ? [] : [`line ${index + 1}: ${fault}`];
    });
    const [first] = bad;
    if (first === undefined) say(file, "note", `is whole, with ${lines.length} entries.`);
    else {
      say(file, "wrong", `has ${bad.length} of ${lines.length} lines that cannot be read (${first}).`);
    }
  }

  async function examineSounds(place: string): Promise<void> {
    let whole = 0;
    for (const { name: file, kind } of await fs.list(`${folder}/${place}`)) {
      const path = `${place}/${file}`;
      if (isTemporary(file)) say(path, "note", "was left half-written by a crash; it can be removed.");
      else if (kind !== "file") say(path, "wrong", "is no plain file, so the program leaves it out.");
      else if (!/\.wav$/i.test(file)) say(path, "note", "is no .wav file, so the program leaves it out.");
      else if (nameFault(file) !== null) say(path, "wrong", `is left out: ${nameFault(file)} Rename it.`);
      else {
        await safely(path, async () => {
          const fault = meaning.soundFault(await read(path));
          if (fault === null) whole++;
          else say(path, "wrong", `cannot be heard: ${fault}`);
        });
      }
    }
    say(place, "note", `has ${whole} sounds that can be heard.`);
  }

  async function examineRecordings(place: string): Promise<void> {
    const files = new Map((await fs.list(`${folder}/${place}`)).map(({ name, kind }) => [name, kind]));
    let whole = 0;
    for (const [file, kind] of files) {
      const path = `${place}/${file}`;
      const stem = file.replace(/\.(json|wav)$/, "");
      if (isTemporary(file)) say(path, "note", "was left half-written by a crash; it can be removed.");
      else if (kind !== "file") say(path, "wrong", "is no plain file, so the program leaves it out.");
      else if (stem === file) say(path, "note", "is no recording, so the program leaves it out.");
      else if (file.endsWith(".wav")) {
        if (!files.has(`${stem}.json`)) say(path, "wrong", "has lost the note that says what was played.");
        await safely(path, async () => {
          const fault = meaning.soundFault(await read(path));
          if (fault !== null) say(path, "wrong", `cannot be heard: ${fault}`);
        });
      } else {
        await safely(path, async () => {
          const { fault, sounds } = meaning.recordingFault(await text(path));
          if (fault !== null) say(path, "wrong", `cannot be read: ${fault}`);
          else if (sounds && !files.has(`${stem}.wav`)) say(path, "wrong", "has lost its sound.");
          else whole++;
        });
      }
    }
    say(place, "note", `has ${whole} whole recordings.`);
  }

  /** Sounds that a routine plays and that are not there. */
  async function examineUse(name: string): Promise<void> {
    const found = await readFile(fs, folder, name);
    if (found === null || found.text === null) return;
    for (const file of meaning.soundsIn(found.text)) {
      if (nameFault(file) !== null) continue;
      if ((await fs.status(`${folder}/${soundsOf(name)}/${file}`)) === null) {
        say(name, "wrong", `plays ${JSON.stringify(file)}, which is not in ${soundsOf(name)}.`);
      }
    }
  }

  async function examineBin(): Promise<void> {
    for (const { name: place, kind } of await fs.list(`${folder}/${BIN}`)) {
      const path = `${BIN}/${place}`;
      if (kind !== "folder") {
        say(path, "note", "was not put into the bin by the program.");
        continue;
      }
      const inside = await fs.list(`${folder}/${path}`);
      const names = inside.flatMap(({ name }) => nameOfFile(name) ?? []);
      const [routine] = names;
      if (routine !== undefined) say(path, "note", `holds the routine ${JSON.stringify(routine)}.`);
      else if (inside.length > 0) say(path, "note", `holds ${inside.length} files of recordings.`);
      else say(path, "note", "is empty: a crash came before anything was moved; it can be removed.");
    }
  }
}
