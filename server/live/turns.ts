/** So many things at a time; others wait, in the order in which they came. */
export class Turns {
  #free: number;
  readonly #waiting: (() => void)[] = [];

  constructor(most: number) {
    this.#free = most;
  }

  /** `act` once there is room for it. */
  async take<Result>(act: () => Promise<Result>): Promise<Result> {
    if (this.#free > 0) this.#free--;
    else await new Promise<void>((go) => this.#waiting.push(go));
    try {
      return await act();
    } finally {
      const next = this.#waiting.shift();
      if (next === undefined) this.#free++;
      else next();
    }
  }
}
