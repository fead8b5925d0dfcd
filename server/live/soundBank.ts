/**
 * The tables of every sound that is heard or shown, prepared in worker threads and shared. A routine asks for its
 * sounds as often as it likes: it gets what is ready, silent for the rest, and is called when more is. Where nobody
 * asked for a while, and no page that could hear them is connected, they are let go: half a second prepares them anew.
 */

import { createHash } from "node:crypto";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { samplesOf } from "../../schemas/rig.ts";
import {
  type Beat,
  DEFAULT_REPEATS_EVERY,
  DEFAULT_VELOCITY,
  type Rig,
  type Routine,
  type Sample,
} from "../../schemas/routine.ts";
import { Turns } from "../jobs/turns.ts";
import type { Clicks } from "../sound/clicks.ts";
import type { Drum } from "../sound/drums.ts";
import type { Sounds } from "../sound/inFrames.ts";
import { createKit, type Kit } from "../sound/kit.ts";
import { type BuiltInJob, recordedBeatJob, sampleJob, type TableJob } from "../sound/prepare.ts";
import type { Pcm, Tables } from "../sound/tables.ts";
import { buildInWorker, drumsInWorker } from "../sound/tableWorkers.ts";
import { readWav } from "../sound/wavread.ts";
import { soundsOf } from "../store/names.ts";

/** Reads a sound of a routine's `.sounds` folder; null where it is not there or no sound. */
export type ReadSound = (file: string) => Promise<Pcm | null>;

export const soundFolder = (folder: string, name: string): string => join(folder, soundsOf(name));

export const readerIn =
  (folder: string): ReadSound =>
  async (file) => {
    if (/[/\\\0]/.test(file) || file.startsWith(".")) return null;
    try {
      const result = readWav(await readFile(join(folder, file)));
      return "wav" in result ? result.wav : null;
    } catch {
      return null;
    }
  };

/** Tables (of about 20 MB each) that are kept, beside those that routines use now. */
const KEPT = 4;
/** Milliseconds that all of them are kept after they were asked for last, without a page that could hear them. */
export const KEPT_FOR = 600_000;
/** Threads that prepare at a time. */
const AT_ONCE = 1;

type Job = TableJob | BuiltInJob;
/** @param signal ends the thread */
type Build = (job: Job, signal: AbortSignal) => Promise<Tables>;
type Drums = (strokes: readonly number[], signal: AbortSignal) => Promise<readonly Drum[]>;

export class SoundBank {
  readonly #kit = createKit();
  readonly #ready = new Map<string, Tables | null>();
  /** Keys that each routine used last, by its folder. */
  readonly #used = new Map<string, readonly string[]>();
  readonly #pending = new Map<string, Promise<void>>();
  readonly #build: Build;
  readonly #drums: Drums;
  /** Strokes of drums that are being rendered. */
  readonly #striking = new Set<number>();
  readonly #drumming = new Set<Promise<void>>();
  readonly #ended = new AbortController();
  /** Pages that are connected to hear something. */
  #pages = 0;
  #lettingGo: NodeJS.Timeout | null = null;
  /** What was asked for last is what somebody waits to hear. */
  readonly #turns = new Turns(AT_ONCE, "last first");

  constructor(
    build: Build = (job, signal) => buildInWorker(job, { signal }),
    drums: Drums = (strokes, signal) => drumsInWorker(strokes, { signal }),
  ) {
    this.#build = build;
    this.#drums = drums;
  }

  /** @param where tells one routine's folder from another's; @param ready called after each sound that came later */
  soundsOf(routine: Routine, where: string, read: ReadSound, clicks: Clicks, ready: () => void): Sounds {
    this.#wait();
    const samples = new Map<string, Tables>();
    const keys: string[] = [];
    this.#used.set(where, keys);
    for (const sample of samplesOf(routine.rig)) {
      const key = sampleKey(sample, routine.rig, where);
      const { rig } = routine;
      const make = async (): Promise<Job | null> =>
        sample.builtIn !== undefined
          ? { sample, rig }
          : sampleJob(sample, rig, sample.file === undefined ? null : await read(sample.file));
      keys.push(key);
      const tables = this.#get(key, make, ready);
      if (tables !== null) samples.set(sample.id, tables);
    }
    const beats = new Map<string, Tables>();
    for (const beat of routine.beats) {
      const { recorded } = beat;
      if (recorded === undefined || !routine.sections.some((section) => section.beat === beat.id)) continue;
      const make = async () => {
        const pcm = await read(recorded.file);
        return pcm === null ? null : recordedBeatJob(beat, pcm);
      };
      const key = beatKey(beat, where);
      keys.push(key);
      const tables = this.#get(key, make, ready);
      if (tables !== null) beats.set(beat.id, tables);
    }
    return { samples, beats, kit: this.#kit, clicks };
  }

  /** A page is connected to hear something: nothing is let go meanwhile. @returns tells that it left */
  attend(): () => void {
    this.#pages++;
    return () => {
      this.#pages--;
      this.#wait();
    };
  }

  #wait(): void {
    if (this.#lettingGo !== null) clearTimeout(this.#lettingGo);
    this.#lettingGo = setTimeout(() => {
      if (this.#pages > 0) return;
      this.#ready.clear();
      this.#used.clear();
    }, KEPT_FOR).unref();
  }

  /** Makes the drums that a routine strikes ready. The kit has them then. */
  prepareDrums(routine: Routine): Promise<void> {
    const hits = routine.beats.flatMap((beat) => beat.hits);
    const lacking = hits.map(({ key, velocity = DEFAULT_VELOCITY }) => this.#kit.lacks(key, velocity));
    const strokes = [...new Set(lacking)].filter((stroke) => stroke !== null);
    // Several routines that are opened together mostly strike the same drums.
    const wanted = strokes.filter((stroke) => !this.#striking.has(stroke));
    if (wanted.length === 0) return Promise.resolve();
    for (const stroke of wanted) this.#striking.add(stroke);
    const rendering = this.#drums(wanted, this.#ended.signal)
      .then((drums) => {
        for (const [index, drum] of drums.entries()) this.#kit.put(wanted[index] as number, drum);
      })
      // Then each is rendered when it is first struck.
      .catch((error: unknown) => this.#lacking("Drums", error))
      .finally(() => {
        for (const stroke of wanted) this.#striking.delete(stroke);
        this.#drumming.delete(rendering);
      });
    this.#drumming.add(rendering);
    return rendering;
  }

  get kit(): Kit {
    return this.#kit;
  }

  #lacking(what: string, error: unknown): void {
    if (!this.#ended.signal.aborted)
      console.error(`${what} could not be prepared: ${(error as Error).message}`);
  }

  /** Nothing more is prepared, so that no thread keeps the program from ending. */
  end(): void {
    this.#ended.abort();
  }

  /** Whether something is being prepared. */
  get busy(): boolean {
    return this.#pending.size > 0;
  }

  /** Resolves once nothing is being prepared. */
  async settled(): Promise<void> {
    while (this.#pending.size + this.#drumming.size > 0)
      await Promise.all([...this.#pending.values(), ...this.#drumming]);
  }

  /** A file was uploaded in place of another: what was made of it is made anew. */
  forget(where: string): void {
    for (const key of this.#ready.keys()) if (key.startsWith(`${where}\n`)) this.#ready.delete(key);
  }

  #get(key: string, make: () => Promise<Job | null>, ready: () => void): Tables | null {
    const known = this.#ready.get(key);
    if (known !== undefined) {
      // The one used last stands last.
      this.#ready.delete(key);
      this.#ready.set(key, known);
      return known;
    }
    let pending = this.#pending.get(key);
    if (pending === undefined) {
      pending = this.#prepare(key, make).finally(() => this.#pending.delete(key));
      this.#pending.set(key, pending);
    }
    void pending.then(ready);
    return null;
  }

  async #prepare(key: string, make: () => Promise<Job | null>): Promise<void> {
    const { signal } = this.#ended;
    const tables = await this.#turns
      .take(async () => {
        signal.throwIfAborted();
        const job = await make();
        return job === null ? null : this.#build(job, signal);
      })
      .catch((error: unknown) => {
        // A sample that cannot be prepared is silent; the rest plays.
        this.#lacking("A sound", error);
        return null;
      });
    this.#ready.set(key, tables);
    const used = new Set([...this.#used.values()].flat());
    const idle = [...this.#ready.keys()].filter((one) => !used.has(one));
    for (const old of idle.slice(0, Math.max(0, idle.length - KEPT))) this.#ready.delete(old);
  }
}

const hash = (value: unknown): string => createHash("sha256").update(JSON.stringify(value)).digest("hex");

/** What the tables depend on: built-in sounds are shared by all routines. */
function sampleKey(sample: Sample, rig: Rig | undefined, where: string): string {
  const { builtIn, file, trim, cue = 0, repeatsEvery = DEFAULT_REPEATS_EVERY } = sample;
  const place = builtIn === undefined ? where : "";
  return `${place}\n${hash([builtIn, file, trim, cue, repeatsEvery, rig?.platter ?? 33])}`;
}
const beatKey = ({ recorded }: Beat, where: string): string =>
  `${where}\n${hash([recorded?.file, recorded?.firstBeat ?? 0])}`;
