/** The routine at one revision, and how it came about. */
import type { Routine } from "../../schemas/routine.ts";
import type { Line } from "./undo.ts";
import { isWorked, type Worked } from "./worked.ts";

/** How a moment came about. */
export interface Made {
  readonly rev: number;
  readonly line: Line;
  /** Of the edit that led here; empty for the first. */
  readonly words: string;
  readonly opId: string;
  readonly at: number;
}

export class Moment implements Made {
  readonly routine: Routine;
  readonly errors: Worked["errors"];
  readonly rev: number;
  readonly line: Line;
  readonly words: string;
  readonly opId: string;
  readonly at: number;
  readonly #work: () => Worked;
  #worked: Worked | null;

  /** @param work works it out where that is asked for and `result` is less */
  constructor(
    result: Worked | Pick<Worked, "routine" | "errors">,
    { rev, line, words, opId, at }: Made,
    work: () => Worked,
  ) {
    this.routine = result.routine;
    this.errors = result.errors;
    this.rev = rev;
    this.line = line;
    this.words = words;
    this.opId = opId;
    this.at = at;
    this.#work = work;
    this.#worked = isWorked(result) ? result : null;
  }

  get worked(): Worked {
    this.#worked ??= this.#work();
    return this.#worked;
  }

  /** It was asked for. */
  get isWorked(): boolean {
    return this.#worked !== null;
  }

  /** The same moment without what was worked out, which takes far more room; it is had again where it is asked for. */
  unworked(): Moment {
    return new Moment({ routine: this.routine, errors: this.errors }, this, this.#work);
  }
}
