/**
 * The clips of one routine that is followed through edits by its values alone, as they come over from another thread:
 * parts that say the same as before are taken to be the same, so that an edit costs what it touches.
 */
import type { Performance } from "../../schemas/performance.ts";
import type { Routine } from "../../schemas/routine.ts";
import { createCompiler } from "../routine/compile.ts";
import { type Clips, clipFiles } from "./clipFiles.ts";
import type { WindowMemory } from "./windows.ts";

/** Of the time that it takes to make all clips of a routine that was not seen before: until it is compiled. */
const COMPILED = 0.3;

export interface Followed {
  readonly routine: Routine;
  readonly performance: Performance;
  readonly clips: Clips;
}

export class ClipMaker {
  readonly #compile = createCompiler();
  readonly #memory: WindowMemory = new Map();
  readonly #known = new Map<string, object>();

  /**
   * @param leftOut JSON Pointers of placements that are not compiled
   * @param ppq the mapping's where it is left out
   * @param tell as in ClipOptions
   * @throws NoExactResolution, and what `tell` throws
   */
  make(
    asked: Routine,
    leftOut: readonly string[],
    ppq?: number | "exact",
    tell?: (done: number) => void,
  ): Followed {
    const routine = this.#asBefore(asked);
    const without = leftOut.map((pointer) => {
      const [, , section, , placement] = pointer.split("/");
      return routine.sections[Number(section)]?.placements[Number(placement)];
    });
    const performance = this.#compile(
      routine,
      new Set(without.filter((one) => one !== undefined)),
      tell && ((done) => tell(COMPILED * done)),
    );
    const clips = clipFiles(routine, performance, {
      memory: this.#memory,
      tell: tell && ((done) => tell(COMPILED + (1 - COMPILED) * done)),
      ...(ppq === undefined ? {} : { ppq }),
    });
    return { routine, performance, clips };
  }

  #asBefore(routine: Routine): Routine {
    const used = new Set<string>();
    const same = <Part extends object>(part: Part): Part => {
      const text = JSON.stringify(part);
      used.add(text);
      const known = this.#known.get(text);
      if (known !== undefined) return known as Part;
      this.#known.set(text, part);
      return part;
    };
    const list = <Part extends object>(parts: readonly Part[]): readonly Part[] => same(parts.map(same));
    const next = {
      ...routine,
      ...(routine.rig === undefined ? {} : { rig: same(routine.rig) }),
      patterns: list(routine.patterns),
      beats: list(routine.beats),
      sections: routine.sections.map(same),
    } as Routine;
    for (const text of this.#known.keys()) if (!used.has(text)) this.#known.delete(text);
    return next;
  }
}
