/** Work that several wait for: each is told how far it is, and it is ended when nobody wants it any more. */
import type { Follow } from "./clips.ts";

export class SharedWork<Result> {
  readonly #end = new AbortController();
  readonly #result: Promise<Result>;
  readonly #tells = new Set<(done: number) => void>();
  #waiting = 0;
  #over = false;
  #lost = (): void => {};

  constructor(start: (all: Follow) => Promise<Result>) {
    const tell = (done: number): void => {
      for (const one of this.#tells) one(done);
    };
    this.#result = start({ tell, signal: this.#end.signal });
    this.#result
      .catch(() => this.#lost())
      .finally(() => {
        this.#over = true;
      });
  }

  /** It failed, or was ended: it is of no use to who comes later. */
  whenLost(lost: () => void): void {
    this.#lost = lost;
  }

  /** @param follow left out: waits to the end. @throws what the work throws; AbortError where `follow` says so first */
  async wait(follow?: Follow): Promise<Result> {
    this.#waiting++;
    if (follow === undefined) return this.#result;
    const { tell, signal } = follow;
    this.#tells.add(tell);
    try {
      return await Promise.race([this.#result, this.#givenUp(signal)]);
    } finally {
      this.#tells.delete(tell);
    }
  }

  #givenUp(signal: AbortSignal): Promise<never> {
    return new Promise((_, reject) => {
      const give = (): void => {
        if (this.#over) return;
        reject(new DOMException("It is not wanted any more.", "AbortError"));
        this.#waiting--;
        if (this.#waiting > 0) return;
        this.#lost();
        this.#end.abort();
      };
      if (signal.aborted) give();
      else signal.addEventListener("abort", give, { once: true });
    });
  }
}
