/** So many things at a time; others wait, and go in the order in which they came, or the other way round. */
export class Turns {
  readonly #most: number;
  readonly #order: "first first" | "last first";
  #taken = 0;
  readonly #waiting: (() => void)[] = [];

  constructor(most: number, order: "first first" | "last first" = "first first") {
    this.#most = most;
    this.#order = order;
  }

  /** Those that are not at their end. */
  get taken(): number {
    return this.#taken;
  }

  get waiting(): number {
    return this.#waiting.length;
  }

  /** `act` once there is room for it. */
  async take<Result>(act: () => Promise<Result>): Promise<Result> {
    if (this.#taken < this.#most) this.#taken++;
    else await new Promise<void>((go) => this.#waiting.push(go));
    try {
      return await act();
    } finally {
      const next = this.#order === "last first" ? this.#waiting.pop() : this.#waiting.shift();
      if (next === undefined) this.#taken--;
      else next();
    }
  }
}
