/** The recordings of a routine: a WAV and a JSON file each, in a folder beside it; each appears whole or not at all. */
import { placeInBin } from "./bin.ts";
import { StoreError } from "./errors.ts";
import type { FileSystem } from "./fs.ts";
import type { Ids } from "./interfaces.ts";
import { LARGEST_SOUND } from "./largest.ts";
import { nameFault, recordingsOf } from "./names.ts";
import { saving } from "./unsaved.ts";
import { lastingFolder, writeWhole } from "./whole.ts";

const LARGEST_NOTE = 32 * 1024 * 1024;

export class Recordings {
  readonly #c: { readonly fs: FileSystem; readonly ids: Ids };
  readonly #folder: string;
  readonly #routine: string;
  readonly #at: string;

  constructor(fs: FileSystem, ids: Ids, folder: string, routine: string) {
    this.#c = { fs, ids };
    this.#folder = folder;
    this.#routine = routine;
    this.#at = `${folder}/${recordingsOf(routine)}`;
  }

  /** Ids, newest first (they begin with the time). */
  async list(): Promise<readonly string[]> {
    const { fs } = this.#c;
    if ((await fs.status(this.#at))?.kind !== "folder") return [];
    return (await fs.list(this.#at))
      .filter(({ name, kind }) => kind === "file" && name.endsWith(".json") && nameFault(name) === null)
      .map(({ name }) => name.slice(0, -".json".length))
      .sort((a, b) => (a < b ? 1 : -1));
  }

  /** The text of the JSON file. @throws StoreError `not-found`, `bad-name` */
  async note(id: string): Promise<string> {
    return new TextDecoder().decode(await this.#read(`${safe(id)}.json`, LARGEST_NOTE));
  }

  /** @throws StoreError `not-found`, `bad-name` */
  async sound(id: string): Promise<Uint8Array> {
    return this.#read(`${safe(id)}.wav`, LARGEST_SOUND);
  }

  /** The folder, which is made where it is not there. @throws StoreError */
  place(): Promise<string> {
    return saving(() => this.#make());
  }

  /**
   * The sound first: a note without its sound would promise what is not there.
   * @param sound path of a file in `place()`, flushed, that becomes the recording's. @throws StoreError
   */
  async add(id: string, note: string, sound: string | null): Promise<void> {
    await saving(async () => {
      await this.#make();
      if (sound !== null) await this.#c.fs.renameNew(sound, `${this.#at}/${safe(id)}.wav`);
      await writeWhole(this.#c, this.#at, `${safe(id)}.json`, note);
    });
  }

  /** @throws StoreError */
  async rewrite(id: string, note: string): Promise<void> {
    await this.note(id);
    await saving(() => writeWhole(this.#c, this.#at, `${safe(id)}.json`, note, { mayReplace: true }));
  }

  /** Into the folder's bin. @throws StoreError */
  async remove(id: string): Promise<void> {
    await this.note(id);
    const { fs } = this.#c;
    await saving(async () => {
      const place = await placeInBin(fs, this.#folder, this.#c.ids());
      for (const ending of [".json", ".wav"]) {
        const file = `${safe(id)}${ending}`;
        if ((await fs.status(`${this.#at}/${file}`)) !== null)
          await fs.rename(`${this.#at}/${file}`, `${place}/${file}`);
      }
      await fs.syncFolder(place);
      await fs.syncFolder(this.#at);
    });
  }

  #make(): Promise<string> {
    return lastingFolder(this.#c.fs, this.#folder, recordingsOf(this.#routine));
  }

  async #read(file: string, largest: number): Promise<Uint8Array> {
    const bytes = await this.#c.fs.read(`${this.#at}/${file}`, largest);
    if (bytes === null) throw new StoreError("not-found", "This recording is not there any more.");
    return bytes;
  }
}

/** @throws StoreError `bad-name` */
function safe(id: string): string {
  const fault = id.length > 150 ? "The name is too long." : nameFault(id);
  if (fault !== null) throw new StoreError("bad-name", `${fault} This is no recording's name.`);
  return id;
}
