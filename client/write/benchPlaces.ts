/** Where the strokes and cells of a phrase lie on its rows, and which of them lies under a point. Pure. */
import type { Pattern } from "../../schemas/routine.ts";
import { fraction, multiply } from "../../schemas/fraction.ts";
import { readFraction, unitsOf, unitsOfText } from "../parts/music.ts";
import { barIndexOf, type Point } from "../rows/geometry.ts";
import { ROW, rowHeight, tracksOf } from "../rows/metrics.ts";
import { type Hand, itemsOf, lengthOf } from "./phrase.ts";

/** One stroke or cell in its cycle; units from the cycle's start, the end not included. */
export interface Spot {
  readonly index: number;
  readonly from: number;
  readonly to: number;
}

export function spotsOf(pattern: Pattern, hand: Hand): readonly Spot[] {
  const step = readFraction(pattern[hand].step) ?? fraction(1, 16);
  let from = 0;
  return itemsOf(pattern, hand).map((item, index) => {
    const spot = { index, from, to: from + unitsOf(multiply(step, lengthOf(item))) };
    from = spot.to;
    return spot;
  });
}
export const cycleOf = (spots: readonly Spot[]): number => spots.at(-1)?.to ?? 0;

/** The rows, one a bar: how many, how wide in pixels, how long in units. */
export interface Bench {
  readonly bars: number;
  readonly bar: number;
  readonly width: number;
  /** Pixels from one row to the next; as high as a row alone where left out. */
  readonly rowHeight?: number;
}
/** A box over a row, pixels from the rows' top left (the gutter not included). */
export interface Box {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

export const heightOf = (bench: Pick<Bench, "rowHeight">): number => bench.rowHeight ?? rowHeight(ROW, 1);
const TRACKS = tracksOf(ROW, 0);
/** What belongs to a hand in a row: its brackets and its track. */
const LANES: Readonly<Record<Hand, { top: number; height: number }>> = {
  record: { top: TRACKS.recordGroups, height: ROW.groups + ROW.record },
  fader: { top: TRACKS.fader - 3, height: ROW.fader + ROW.groups + 6 },
};

/** The boxes of a stretch of time: one a row that it touches. @param from units from the first row's start */
export function boxesOf(bench: Bench, hand: Hand, from: number, to: number): readonly Box[] {
  const boxes: Box[] = [];
  const last = Math.min(bench.bars, Math.ceil(to / bench.bar));
  for (let row = Math.max(0, barIndexOf(from, bench.bar)); row < last; row++) {
    const x0 = Math.max(0, from / bench.bar - row) * bench.width;
    const x1 = Math.min(1, to / bench.bar - row) * bench.width;
    const lane = LANES[hand];
    boxes.push({ left: x0, top: row * heightOf(bench) + lane.top, width: x1 - x0, height: lane.height });
  }
  return boxes;
}

export interface Found {
  readonly hand: Hand;
  readonly index: number;
  /** Rounds of the cycle before this one. */
  readonly round: number;
  /** The end of it is near, within `reach` pixels: of the one before, where its own start is. */
  readonly edge: boolean;
}

/** @param point pixels from the rows' top left; @param reach pixels on each side of an edge that take hold of it */
export function foundAt(pattern: Pattern, bench: Bench, point: Point, reach: number): Found | null {
  const row = Math.floor(point.y / heightOf(bench));
  if (row < 0 || row >= bench.bars || point.x < -reach || point.x > bench.width + reach) return null;
  const y = point.y - row * heightOf(bench);
  const hand = (["record", "fader"] as const).find(
    (one) => y >= LANES[one].top && y < LANES[one].top + LANES[one].height,
  );
  if (hand === undefined) return null;
  const spots = spotsOf(pattern, hand);
  const cycle = cycleOf(spots);
  const at = (row + Math.min(1, Math.max(0, point.x / bench.width))) * bench.bar;
  const near = (reach / bench.width) * bench.bar;
  const round = Math.floor(at / cycle);
  const into = at - round * cycle;
  const spot = spots.find(({ to }) => into < to) ?? spots.at(-1)!;
  // No more than a third of a short one belongs to its edges, so that its body can be taken hold of too.
  const hold = Math.min(near, (spot.to - spot.from) / 3);
  if (spot.to - into <= hold) return { hand, index: spot.index, round, edge: true };
  if (into - spot.from <= hold) {
    if (spot.index > 0) return { hand, index: spot.index - 1, round, edge: true };
    if (round > 0) return { hand, index: spots.length - 1, round: round - 1, edge: true };
  }
  return { hand, index: spot.index, round, edge: false };
}

/** By how many steps a stroke or cell grows when its end is dragged so far: every round before it grows as well. */
export const stepsDragged = (pattern: Pattern, hand: Hand, bench: Bench, by: number, round: number): number =>
  ((by / bench.width) * bench.bar) / unitsOfText(pattern[hand].step) / (round + 1);
