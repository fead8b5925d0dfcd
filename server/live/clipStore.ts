/** The clips of open routines: made once for each state and resolution, and of an edit only what it touched. */
import type { WindowMemory } from "../clips/windows.ts";
import type { Asked, ClipWork, MadeClips } from "../jobs/clips.ts";
import type { OpenRoutine } from "./openRoutine.ts";
import type { Worked } from "./worked.ts";

interface Followed {
  readonly key: number;
  /** What was made of it to go out while it plays. */
  readonly memory: WindowMemory;
}

export class ClipStore {
  readonly #work: ClipWork;
  readonly #followed = new WeakMap<OpenRoutine, Followed>();
  readonly #made = new WeakMap<Worked, Map<string, Promise<MadeClips>>>();
  #keys = 0;

  constructor(work: ClipWork) {
    this.#work = work;
  }

  #of(routine: OpenRoutine): Followed {
    const followed = this.#followed.get(routine) ?? { key: ++this.#keys, memory: new Map() };
    this.#followed.set(routine, followed);
    return followed;
  }
  #asked(routine: OpenRoutine, ppq: number | "exact" | undefined): Asked {
    const { sound, leftOut } = routine.present.worked;
    return { key: this.#of(routine).key, routine: sound, leftOut, ...(ppq === undefined ? {} : { ppq }) };
  }

  memoryOf(routine: OpenRoutine): WindowMemory {
    return this.#of(routine).memory;
  }

  /** @param ppq the mapping's where it is left out. @throws NoExactResolution, JobBroken */
  async clipsOf(
    routine: OpenRoutine,
    ppq?: number | "exact",
  ): Promise<{ readonly worked: Worked; readonly clips: MadeClips }> {
    const { worked } = routine.present;
    const known = this.#made.get(worked) ?? new Map<string, Promise<MadeClips>>();
    this.#made.set(worked, known);
    let made = known.get(String(ppq));
    if (made === undefined) {
      made = this.#work.clips(this.#asked(routine, ppq));
      known.set(String(ppq), made);
      // What failed is tried again when it is asked for again.
      made.catch(() => known.delete(String(ppq)));
    }
    return { worked, clips: await made };
  }

  /** All of it as one zip. @throws NoExactResolution, JobBroken */
  zipOf(routine: OpenRoutine, ppq?: number | "exact"): Promise<Uint8Array> {
    return this.#work.zip(this.#asked(routine, ppq));
  }

  /** What stands in a clip. */
  accountOf(bytes: Uint8Array, most: number): ReturnType<ClipWork["account"]> {
    return this.#work.account(bytes, most);
  }
}
