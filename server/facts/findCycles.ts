/**
 * What each hand's cycle brings to a combination, worked out once for all that it is combined with.
 *
 * A stroke and a cell take one step each, so in every step there is one move and one cell, and at most one sound: it
 * starts with the step if the record moves and the cell is not closed. It ends with the step, or three quarters into
 * it if the next cell is a click (which shuts the fader for a quarter of a step before it re-opens), or half-way if
 * the cell is a pulse. Over the combined length the record's step i meets the fader's step j exactly once if
 * j − i ≡ phase modulo g = gcd(m, n), and never otherwise. So counts by remainder modulo g are all that is needed to
 * count what the two do together.
 */
import type { FaderState, Move } from "../../schemas/routine.ts";

/** Directions as they are coded in a record cycle. */
export const HOLD = 0;
export const FORWARD = 1;
export const BACK = 2;
const DIRECTION: Readonly<Record<Move, number>> = { hold: HOLD, forward: FORWARD, back: BACK };

export interface RecordCycleFacts {
  /** HOLD, FORWARD or BACK of each step. */
  readonly directions: Uint8Array;
  /** By remainder modulo g: steps that move forward, that move back. */
  readonly forward: Uint8Array;
  readonly back: Uint8Array;
  /** Of those that move: after a move the other way, after one the same way, after a hold. */
  readonly turn: Uint8Array;
  readonly restart: Uint8Array;
  readonly fromRest: Uint8Array;
  readonly forwards: number;
  readonly backs: number;
  /** log2 of the number of runs of one kind, the cycle being closed. */
  readonly memory: number;
}

export interface FaderCycleFacts {
  readonly cells: readonly FaderState[];
  /** Quarters of the step for which a moving record sounds: 0, 2, 3 or 4. */
  readonly quarters: Uint8Array;
  /** 1 where the fader opens with the step. */
  readonly opens: Uint8Array;
  /** By remainder modulo g: steps that sound, those that the fader opens with, those into which it was open. */
  readonly sounding: Uint8Array;
  readonly cut: Uint8Array;
  readonly open: Uint8Array;
  readonly openings: number;
  readonly alwaysOpen: boolean;
  readonly memory: number;
  /** Steps from one opening to the next, at the closest; steps open and steps shut, at the shortest; Infinity: never. */
  readonly closest: number;
  readonly shortestOpen: number;
  readonly shortestShut: number;
}

function runsOf(kinds: Uint8Array): number {
  const { length } = kinds;
  let runs = 0;
  for (let at = 0; at < length; at++) if (kinds[at] !== kinds[(at + length - 1) % length]) runs++;
  return Math.max(1, runs);
}

/** @param word indices into `strokes` */
export function recordFacts(word: Uint8Array, strokes: readonly Move[], g: number): RecordCycleFacts {
  const length = word.length;
  const codes = strokes.map((move) => DIRECTION[move]);
  const directions = word.map((kind) => codes[kind] as number);
  const forward = new Uint8Array(g);
  const back = new Uint8Array(g);
  const turn = new Uint8Array(g);
  const restart = new Uint8Array(g);
  const fromRest = new Uint8Array(g);
  let forwards = 0;
  let backs = 0;
  for (let at = 0; at < length; at++) {
    const direction = directions[at] as number;
    if (direction === HOLD) continue;
    const before = directions[(at + length - 1) % length] as number;
    const counts = before === HOLD ? fromRest : before === direction ? restart : turn;
    counts[at % g] = (counts[at % g] as number) + 1;
    const way = direction === FORWARD ? forward : back;
    way[at % g] = (way[at % g] as number) + 1;
    if (direction === FORWARD) forwards++;
    else backs++;
  }
  return {
    directions,
    forward,
    back,
    turn,
    restart,
    fromRest,
    forwards,
    backs,
    memory: Math.log2(runsOf(word)),
  };
}

/** @param word indices into `cells` */
export function faderFacts(word: Uint8Array, cells: readonly FaderState[], g: number): FaderCycleFacts {
  const length = word.length;
  const cellAt = (at: number): FaderState => cells[word[at % length] as number] as FaderState;
  const quarters = new Uint8Array(length);
  const opens = new Uint8Array(length);
  const sounding = new Uint8Array(g);
  const cut = new Uint8Array(g);
  const open = new Uint8Array(g);
  let openings = 0;
  for (let at = 0; at < length; at++) {
    const cell = cellAt(at);
    if (cell === "closed") continue;
    const before = cellAt(at + length - 1);
    const wasOpen = cell !== "click" && (before === "open" || before === "click");
    quarters[at] = cell === "pulse" ? 2 : cellAt(at + 1) === "click" ? 3 : 4;
    sounding[at % g] = (sounding[at % g] as number) + 1;
    const counts = wasOpen ? open : cut;
    counts[at % g] = (counts[at % g] as number) + 1;
    if (!wasOpen) {
      opens[at] = 1;
      openings++;
    }
  }
  return {
    cells: Array.from(word, (_, at) => cellAt(at)),
    quarters,
    opens,
    sounding,
    cut,
    open,
    openings,
    alwaysOpen: openings === 0 && quarters[0] === 4,
    memory: Math.log2(runsOf(word)),
    ...shortestOf(quarters, opens),
  };
}

/** Each opening runs through the steps that sound to their end, up to one that does not or the next opening. */
function shortestOf(
  quarters: Uint8Array,
  opens: Uint8Array,
): Pick<FaderCycleFacts, "closest" | "shortestOpen" | "shortestShut"> {
  const { length } = opens;
  let closest = Number.POSITIVE_INFINITY;
  let shortestOpen = Number.POSITIVE_INFINITY;
  let shortestShut = Number.POSITIVE_INFINITY;
  for (let start = 0; start < length; start++) {
    if (opens[start] === 0) continue;
    let openFor = 0;
    let shut = false;
    let next = 0;
    do {
      const part = quarters[(start + next) % length] as number;
      if (!shut) openFor += part / 4;
      if (part < 4) shut = true;
      next++;
    } while (opens[(start + next) % length] === 0);
    closest = Math.min(closest, next);
    shortestOpen = Math.min(shortestOpen, openFor);
    shortestShut = Math.min(shortestShut, next - openFor);
  }
  return { closest, shortestOpen, shortestShut };
}
