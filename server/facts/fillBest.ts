/**
 * The best fillings of a gap without listing all: fewest changes from one group to another, then fewest groups,
 * then in the order in which the groups were given.
 *
 * A filling is a way through a graph whose nodes are (where we are, which group came last). Every node keeps the
 * list of its best ways to the end, made only as long as it is asked for: the next best way of a node is the best
 * of its steps each followed by the next unused way of the node it leads to (recursive enumeration; Jiménez and
 * Marzal 1999, "Computing the K shortest paths", WAE, LNCS 1668:15-29). Ties are settled by the step's place in
 * the given order, then by the follower's own list, and that is lexicographic order.
 */
import { allowsOf, type Gap } from "./fillCount.ts";

/** Changes count above all groups together: a gap has at most as many groups as parts, below 2^26. */
const CHANGE = 2 ** 26;

interface Way {
  readonly cost: number;
  /** The step taken, and which way of the node it leads to follows. */
  readonly group: number;
  readonly rank: number;
}

interface Node {
  readonly ways: Way[];
  /** For each group the next way to be considered, by its place in the follower's list. */
  readonly candidates: Way[];
  /** A follower's way that is to join the candidates when the next is asked for. */
  pending: { readonly group: number; readonly rank: number } | undefined;
}

const END_WAY: Way = { cost: 0, group: -1, rank: 0 };

/** At most `top` fillings, each a list of indices into the gap's lengths. */
export function bestFillings(gap: Gap, top: number): number[][] {
  const { size, lengths } = gap;
  const allows = allowsOf(gap);
  const groups = lengths.length;
  const none = groups;

  // Least cost from each place to the end after each group, from the end backwards.
  const least = new Float64Array((size + 1) * (groups + 1)).fill(Number.POSITIVE_INFINITY);
  const key = (at: number, last: number): number => at * (groups + 1) + last;
  least.fill(0, key(size, 0));
  const stepCost = (last: number, group: number): number =>
    1 + (last === none || last === group ? 0 : CHANGE);
  for (let at = size - 1; at >= 0; at--) {
    for (const [group, length] of lengths.entries()) {
      if (at + length > size || !allows(group, at)) continue;
      const after = least[key(at + length, group)] as number;
      if (after === Number.POSITIVE_INFINITY) continue;
      for (let last = 0; last <= none; last++) {
        const cost = after + stepCost(last, group);
        if (cost < (least[key(at, last)] as number)) least[key(at, last)] = cost;
      }
    }
  }

  const nodes = new Map<number, Node>();
  const nodeAt = (at: number, last: number): Node => {
    const known = nodes.get(key(at, last));
    if (known !== undefined) return known;
    const candidates: Way[] = [];
    if (at < size) {
      for (const [group, length] of lengths.entries()) {
        if (at + length > size || !allows(group, at)) continue;
        const after = least[key(at + length, group)] as number;
        if (after < Number.POSITIVE_INFINITY)
          candidates.push({ cost: after + stepCost(last, group), group, rank: 0 });
      }
    }
    const node: Node = { ways: at === size ? [END_WAY] : [], candidates, pending: undefined };
    nodes.set(key(at, last), node);
    return node;
  };

  /** Makes the list of a node longer than `rank`, if there are so many ways; a stack of our own, as gaps are long. */
  const extend = (at: number, last: number, rank: number): Way | undefined => {
    const stack = [{ at, last, rank }];
    for (let asked = stack.at(-1); asked !== undefined; asked = stack.at(-1)) {
      const node = nodeAt(asked.at, asked.last);
      if (node.ways.length > asked.rank) {
        stack.pop();
        continue;
      }
      const { pending } = node;
      if (pending !== undefined) {
        const next = asked.at + (lengths[pending.group] as number);
        const follower = nodeAt(next, pending.group);
        const way = follower.ways[pending.rank];
        const exhausted = follower.candidates.length === 0 && follower.pending === undefined;
        if (way === undefined && !exhausted) {
          stack.push({ at: next, last: pending.group, rank: pending.rank });
          continue;
        }
        node.pending = undefined;
        if (way !== undefined)
          node.candidates.push({ ...pending, cost: way.cost + stepCost(asked.last, pending.group) });
        continue;
      }
      const best = takeBest(node.candidates);
      if (best === undefined) {
        stack.pop();
        continue;
      }
      node.ways.push(best);
      node.pending = { group: best.group, rank: best.rank + 1 };
    }
    return nodeAt(at, last).ways[rank];
  };

  const result: number[][] = [];
  for (let rank = 0; rank < top; rank++) {
    let way = extend(0, none, rank);
    if (way === undefined) break;
    const filling: number[] = [];
    let at = 0;
    while (at < size) {
      const { group, rank: follower }: Way = way as Way;
      filling.push(group);
      at += lengths[group] as number;
      way = extend(at, group, follower);
    }
    result.push(filling);
  }
  return result;
}

/** Removes the least by cost, then by the order given; each group stands among the candidates once at most. */
function takeBest(candidates: Way[]): Way | undefined {
  let best = 0;
  for (let index = 1; index < candidates.length; index++) {
    const one = candidates[index] as Way;
    const other = candidates[best] as Way;
    if (one.cost < other.cost || (one.cost === other.cost && one.group < other.group)) best = index;
  }
  return candidates.splice(best, 1)[0];
}
