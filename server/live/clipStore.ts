/** The clips of open routines: made once for each state and resolution, and of an edit only what it touched. */
import type { WindowMemory } from "../clips/windows.ts";
import type { Asked, ClipWork, Follow, MadeClips } from "../jobs/clips.ts";
import { SharedWork } from "../jobs/sharedWork.ts";
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
  readonly #made = new WeakMap<Worked, Map<string, SharedWork<MadeClips>>>();
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

  /**
   * @param ppq the mapping's where it is left out
   * @param follow for one of those who wait; what nobody waits for any more is ended
   * @throws NoExactResolution, JobBroken, AbortError
   */
  async clipsOf(
    routine: OpenRoutine,
    ppq?: number | "exact",
    follow?: Follow,
  ): Promise<{ readonly worked: Worked; readonly clips: MadeClips }> {
    const { worked } = routine.present;
    const known = this.#made.get(worked) ?? new Map<string, SharedWork<MadeClips>>();
    this.#made.set(worked, known);
    const name = String(ppq);
    let made = known.get(name);
    if (made === undefined) {
      const begun = new SharedWork((all) => this.#work.clips(this.#asked(routine, ppq), all));
      // What failed or was ended is tried again when it is asked for again.
      begun.whenLost(() => {
        if (known.get(name) === begun) known.delete(name);
      });
      made = begun;
      known.set(name, made);
    }
    return { worked, clips: await made.wait(follow) };
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
