/** The user's own phrases and beats, in one readable file of the folder that is written whole. */
import { MOST_PHRASES, type MyPhrase, PhrasesFile, phrasesFile } from "../../schemas/phrases.ts";
import { StoreError } from "./errors.ts";
import type { FileSystem } from "./fs.ts";
import type { Ids } from "./interfaces.ts";
import { jsonOf } from "./text.ts";
import { saving } from "./unsaved.ts";
import { writeWhole } from "./whole.ts";

export const PHRASES = "my-phrases.json";
const LARGEST = 32 * 1024 * 1024;

export class Phrases {
  readonly #disk: { readonly fs: FileSystem; readonly ids: Ids };
  readonly #folder: string;
  /** Changes go one after the other: each reads what the one before wrote. */
  #turn: Promise<unknown> = Promise.resolve();

  /** @param folder of the routines */
  constructor(disk: { readonly fs: FileSystem; readonly ids: Ids }, folder: string) {
    this.#disk = disk;
    this.#folder = folder;
  }

  /** @throws StoreError `not-ours` where the file is there and no file of phrases: it is left as it is */
  async list(): Promise<readonly MyPhrase[]> {
    const bytes = await this.#disk.fs.read(`${this.#folder}/${PHRASES}`, LARGEST);
    if (bytes === null) return [];
    const read = PhrasesFile.safeParse(jsonOf(bytes));
    if (read.success) return read.data.phrases;
    const message = `${PHRASES} in ${this.#folder} cannot be read as phrases. Mend it, or move it away.`;
    throw new StoreError("not-ours", message);
  }

  /** Adds it, or puts it in place of the one with its id. @returns all, as they then are. @throws StoreError */
  keep(phrase: MyPhrase): Promise<readonly MyPhrase[]> {
    return this.#change((all) => {
      const at = all.findIndex(({ id }) => id === phrase.id);
      if (at >= 0) return all.with(at, phrase);
      if (all.length >= MOST_PHRASES) {
        const most = MOST_PHRASES.toLocaleString("en");
        throw new StoreError("too-large", `At most ${most} phrases are kept. Remove some first.`);
      }
      return [...all, phrase];
    });
  }

  remove(id: string): Promise<readonly MyPhrase[]> {
    return this.#change((all) => all.filter((one) => one.id !== id));
  }

  #change(how: (all: readonly MyPhrase[]) => readonly MyPhrase[]): Promise<readonly MyPhrase[]> {
    const done = this.#turn.then(async () => {
      const next = how(await this.list());
      const text = phrasesFile(next);
      await saving(() => writeWhole(this.#disk, this.#folder, PHRASES, text, { mayReplace: true }));
      return next;
    });
    this.#turn = done.catch(() => undefined);
    return done;
  }
}
