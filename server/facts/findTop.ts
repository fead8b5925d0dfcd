/** The first so many of a ranking while it is being made: a heap with the last of them on top. */

export interface Ranked<Item> {
  readonly item: Item;
  /** Smaller comes first. */
  readonly value: number;
  /** Place in the listing, which settles ties, so that the outcome does not depend on who looked first. */
  readonly place: number;
}

const inOrder = <Item>(a: Ranked<Item>, b: Ranked<Item>): number => a.value - b.value || a.place - b.place;

export class Top<Item> {
  readonly #most: number;
  readonly #heap: Ranked<Item>[] = [];

  /** @param most how many to keep, from 0 */
  constructor(most: number) {
    this.#most = most;
  }

  /** Whether it would be kept: asked before the item is made, since most are not. */
  wants(value: number, place: number): boolean {
    if (this.#heap.length < this.#most) return true;
    const last = this.#heap[0];
    return last !== undefined && (value < last.value || (value === last.value && place < last.place));
  }

  add(ranked: Ranked<Item>): void {
    if (!this.wants(ranked.value, ranked.place)) return;
    if (this.#heap.length < this.#most) {
      this.#heap.push(ranked);
      this.#rise(this.#heap.length - 1);
    } else {
      this.#heap[0] = ranked;
      this.#sink();
    }
  }

  list(): Ranked<Item>[] {
    return [...this.#heap].sort(inOrder);
  }

  #rise(from: number): void {
    const heap = this.#heap;
    for (let at = from; at > 0; ) {
      const parent = (at - 1) >> 1;
      if (inOrder(heap[at] as Ranked<Item>, heap[parent] as Ranked<Item>) <= 0) return;
      this.#swap(at, parent);
      at = parent;
    }
  }

  #sink(): void {
    const heap = this.#heap;
    for (let at = 0; ; ) {
      let last = at;
      for (const child of [2 * at + 1, 2 * at + 2]) {
        if (child < heap.length && inOrder(heap[child] as Ranked<Item>, heap[last] as Ranked<Item>) > 0)
          last = child;
      }
      if (last === at) return;
      this.#swap(at, last);
      at = last;
    }
  }

  #swap(a: number, b: number): void {
    const heap = this.#heap;
    [heap[a], heap[b]] = [heap[b] as Ranked<Item>, heap[a] as Ranked<Item>];
  }
}
