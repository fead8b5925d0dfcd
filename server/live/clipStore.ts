/** The clips of open routines: made once for each state and resolution, and of an edit only what it touched. */
import { type Clips, clipFiles } from "../clips/clipFiles.ts";
import type { WindowMemory } from "../clips/windows.ts";
import type { OpenRoutine } from "./openRoutine.ts";
import type { Worked } from "./worked.ts";

export class ClipStore {
  readonly #memories = new WeakMap<OpenRoutine, WindowMemory>();
  readonly #made = new WeakMap<Worked, Map<string, Clips>>();

  /** What was made of a routine before. */
  memoryOf(routine: OpenRoutine): WindowMemory {
    let memory = this.#memories.get(routine);
    if (memory === undefined) {
      memory = new Map();
      this.#memories.set(routine, memory);
    }
    return memory;
  }

  /** @param ppq the mapping's where it is left out. @throws NoExactResolution */
  clipsOf(routine: OpenRoutine, ppq?: number | "exact"): { readonly worked: Worked; readonly clips: Clips } {
    const { worked } = routine.present;
    const made = this.#made.get(worked) ?? new Map<string, Clips>();
    this.#made.set(worked, made);
    const known = made.get(String(ppq));
    if (known !== undefined) return { worked, clips: known };
    const memory = this.memoryOf(routine);
    const clips = clipFiles(worked.sound, worked.performance, {
      memory,
      ...(ppq === undefined ? {} : { ppq }),
    });
    made.set(String(ppq), clips);
    return { worked, clips };
  }
}
