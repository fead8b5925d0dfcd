/** Several parts in random order: each once before any comes again, and none twice in a row. */
export class Bag<Thing extends { readonly key: string }> {
  #left: Thing[] = [];

  /** @param from what there is @param last what came last @param random 0 to 1, 1 not included */
  draw(from: readonly Thing[], last: Thing | undefined, random = Math.random): Thing | undefined {
    if (from.length <= 1) return from[0];
    if (this.#left.length === 0) {
      this.#left = shuffled(from, random);
      if (this.#left[0]?.key === last?.key) this.#left.push(this.#left.shift()!);
    }
    return this.#left.shift();
  }

  empty(): void {
    this.#left = [];
  }
}

/** Every order equally likely (Fisher and Yates 1938). */
function shuffled<Thing>(from: readonly Thing[], random: () => number): Thing[] {
  const all = [...from];
  for (let at = all.length - 1; at > 0; at--) {
    const other = Math.floor(random() * (at + 1));
    [all[at], all[other]] = [all[other]!, all[at]!];
  }
  return all;
}
