/** The rounds of a drill that is played: which is heard, which come next. Frames are of the play. */
import type { Round } from "../../schemas/soundWire.ts";

export class Rounds {
  #waiting: readonly Round[];
  /** Those that were begun, oldest first; at least the last two are kept. */
  #begun: readonly { readonly frame: number; readonly round: Round }[] = [];

  constructor(rounds: readonly Round[]) {
    this.#waiting = rounds;
  }

  /** In place of those that wait; one that has begun already is passed over. */
  plan(rounds: readonly Round[]): void {
    const last = this.#begun.at(-1)?.round.number ?? -1;
    this.#waiting = rounds.filter(({ number }) => number > last);
  }

  /** Begins the next one at a frame: the first that waits, or the last again. */
  begin(frame: number): Round {
    const last = this.#begun.at(-1)?.round;
    const [next, ...others] = this.#waiting;
    const round = next ?? ({ ...last, number: (last?.number ?? 0) + 1 } as Round);
    this.#waiting = others;
    this.#begun = [...this.#begun.slice(-3), { frame, round }];
    return round;
  }

  /** The round at a frame; undefined before the first. */
  at(frame: number): Round | undefined {
    return this.#begun.findLast((one) => one.frame <= frame)?.round;
  }

  /** Rounds that would begin after a frame wait again. @returns the frame at which the first of them would have */
  takeBack(after: number): number | null {
    const back = this.#begun.filter(({ frame }) => frame > after);
    this.#begun = this.#begun.filter(({ frame }) => frame <= after);
    this.#waiting = [...back.map(({ round }) => round), ...this.#waiting];
    return back[0]?.frame ?? null;
  }
}
