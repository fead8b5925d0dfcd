/** The recordings of a folder's routines: kept, compared, listed, taken away. */
import {
  type Recording,
  Recording as RecordingSchema,
  type RecordingAbout,
  type RecordingLine,
} from "../../schemas/recording.ts";
import type { CompareAnswer, CompareJob } from "../recordings/compare.worker.ts";
import type { compareInWorker } from "../recordings/compareWorkers.ts";
import type { WavFacts } from "../jobs/jobs.ts";
import { leadingPlayer } from "../sound/placed.ts";
import { StoreError } from "../store/errors.ts";
import type { FileSystem } from "../store/fs.ts";
import type { Ids } from "../store/interfaces.ts";
import { Recordings } from "../store/recordings.ts";
import type { Live } from "./live.ts";
import { SILENT } from "../sound/clicksFor.ts";
import { readerIn, type SoundBank, soundFolder } from "./soundBank.ts";

type Compare = typeof compareInWorker;

export class RecordingDesk {
  readonly #live: Live;
  readonly #bank: SoundBank;
  readonly #disk: { readonly fs: FileSystem; readonly ids: Ids };
  readonly #compare: Compare;
  /** One after the other: each takes a core for some seconds. */
  #turn: Promise<unknown> = Promise.resolve();
  /** How much of each that is compared is done, 0 to 1, by routine and id. */
  readonly #done = new Map<string, number>();

  constructor(
    live: Live,
    bank: SoundBank,
    disk: { readonly fs: FileSystem; readonly ids: Ids },
    compare: Compare,
  ) {
    this.#live = live;
    this.#bank = bank;
    this.#disk = disk;
    this.#compare = compare;
  }

  store(name: string): Recordings {
    return new Recordings(this.#disk.fs, this.#disk.ids, this.#live.folder.path, name);
  }

  async list(name: string): Promise<{ recordings: RecordingLine[]; unread: number }> {
    await this.#live.open(name);
    const recordings: RecordingLine[] = [];
    let unread = 0;
    for (const id of await this.store(name).list()) {
      try {
        const { times: _times, result, ...line } = await this.read(name, id);
        const summary = result === null ? null : (({ sounds: _s, extra: _e, ...rest }) => rest)(result);
        recordings.push({ ...line, result: summary });
      } catch (error) {
        if (!(error instanceof StoreError)) throw error;
        unread++;
      }
    }
    return { recordings, unread };
  }

  /** @throws StoreError */
  async read(name: string, id: string): Promise<Recording> {
    const note = await this.store(name).note(id);
    try {
      return RecordingSchema.parse(JSON.parse(note));
    } catch {
      throw new StoreError(
        "not-ours",
        `The note of the recording ${id} cannot be read; it is left as it is.`,
      );
    }
  }

  /** Where a sound that is brought is written to. @throws StoreError where there is no such routine */
  async place(name: string): Promise<string> {
    await this.#live.open(name);
    return this.store(name).place();
  }

  /** @param played a file in `place` and what it holds, or the times of keys or notes. @throws StoreError */
  async add(
    name: string,
    about: RecordingAbout,
    played: { readonly file: string; readonly facts: WavFacts } | { readonly times: readonly number[] },
  ): Promise<Recording> {
    await this.#live.open(name);
    const at = new Date(this.#live.clock.now()).toISOString();
    // To the millisecond: several that were held are kept within one second, and stay in the order in which they were played.
    const id = `${at.slice(0, 23).replace("T", " ").replaceAll(/[:.]/g, "-")} ${this.#disk.ids().slice(0, 6)}`;
    let facts: Pick<Recording, "seconds" | "peak" | "clipped">;
    if ("times" in played) {
      facts = {
        seconds: played.times.reduce((most, time) => Math.max(most, time), 0),
        peak: null,
        clipped: 0,
      };
    } else {
      const { frames, rate, peak, clipped } = played.facts;
      facts = { seconds: frames / rate, peak, clipped };
    }
    const recording: Recording = {
      ...about,
      id,
      at,
      ...facts,
      ...("times" in played ? { times: [...played.times] } : {}),
      result: null,
    };
    await this.store(name).add(id, noteOf(recording), "file" in played ? played.file : null);
    return recording;
  }

  /**
   * Compares (again) with the routine as it now is, and keeps the result. A sound that ends before the last of what is
   * meant is one that was stopped early.
   *
   * @param wanted ends the work where nobody waits for it any more. @throws StoreError, and what `wanted` gives as reason
   */
  async compare(name: string, id: string, wanted?: AbortSignal): Promise<Recording> {
    const recording = await this.read(name, id);
    const { times } = recording;
    const played = async () => (times === undefined ? { wav: await this.store(name).sound(id) } : { times });
    const key = keyOf(name, id);
    const progress = (done: number) => void this.#done.set(key, done);
    const answer = await this.#work(name, recording, played, { progress, signal: wanted }).finally(() =>
      this.#done.delete(key),
    );
    if (!("result" in answer))
      throw new StoreError(
        "not-ours",
        "problem" in answer ? answer.problem : "The recording could not be compared.",
      );
    const { result, upTo } = answer;
    const ended = upTo === null ? {} : { range: { ...recording.range, to: upTo }, stopped: true as const };
    const compared: Recording = { ...recording, ...ended, result };
    await this.store(name).rewrite(id, noteOf(compared));
    return compared;
  }

  /** How much of its comparison is done, 0 to 1; 0 where it waits its turn, or is not compared at all. */
  compared(name: string, id: string): number {
    return this.#done.get(keyOf(name, id)) ?? 0;
  }

  /** The program's own sound of what was played, a WAV file. @throws StoreError */
  async meant(name: string, id: string, wanted?: AbortSignal): Promise<Uint8Array> {
    const answer = await this.#work(name, await this.read(name, id), async () => null, { signal: wanted });
    if (!("wav" in answer)) throw new StoreError("not-ours", "The program's own sound could not be made.");
    return answer.wav;
  }

  #work(
    name: string,
    recording: Recording,
    played: () => Promise<CompareJob["played"]>,
    options: Parameters<Compare>[1] & object,
  ): Promise<CompareAnswer> {
    const result = this.#turn.then(async () => {
      options.signal?.throwIfAborted();
      const { sound: routine, performance } = (await this.#live.open(name)).present.worked;
      const position = ({ section, at }: Recording["range"]["from"]): number => {
        const found = performance.sections.find((one) => one.performance.id === section);
        if (found === undefined)
          throw new StoreError(
            "not-found",
            `The section "${section}" that was played is not in the routine any more.`,
          );
        return Math.max(0, found.start + at);
      };
      const stretch = {
        from: position(recording.range.from),
        to: Math.min(position(recording.range.to), performance.end),
        speed: recording.speed,
        player: recording.player ?? leadingPlayer(performance),
      };
      if (stretch.to <= stretch.from)
        throw new StoreError("not-found", "What was played is not in the routine any more.");
      const where = soundFolder(this.#live.folder.path, name);
      const sounds = () => this.#bank.soundsOf(routine, where, readerIn(where), SILENT, () => {});
      sounds();
      await this.#bank.settled();
      const { samples, beats } = sounds();
      const { hands, allowedMs } = recording;
      const job = { routine, performance, samples, beats, stretch, hands, allowed: allowedMs / 1000 };
      return this.#compare({ ...job, played: await played() }, options);
    });
    this.#turn = result.catch(() => undefined);
    return result;
  }
}

const keyOf = (name: string, id: string): string => `${name}/${id}`;
const noteOf = (recording: Recording): string => `${JSON.stringify(recording, null, 1)}\n`;
