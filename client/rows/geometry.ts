/**
 * From units to places on the page. A row is one bar; x runs from 0 at its start to `width` at its end. Only
 * numbers in and numbers out, so that the picture can be tested without a screen.
 */

export interface Point {
  readonly x: number;
  readonly y: number;
}

/** A row: where its bar starts, units from the section's start, how long it is, and how wide it is drawn. */
export interface RowFrame {
  readonly start: number;
  readonly bar: number;
  readonly width: number;
}

export const xOf = (frame: RowFrame, position: number): number =>
  ((position - frame.start) / frame.bar) * frame.width;

/** The bar in which a position lies, from 0; negative before the section. A bar's end belongs to the next. */
export const barIndexOf = (position: number, bar: number): number => Math.floor(position / bar);

/** Position under a point of a stack of rows: y is cut into rows of `height`. Clamped into the stack. */
export function positionAt(
  point: Point,
  rows: { readonly count: number; readonly height: number; readonly bar: number; readonly width: number },
): number {
  const row = Math.min(rows.count - 1, Math.max(0, Math.floor(point.y / rows.height)));
  const part = Math.min(1, Math.max(0, point.x / rows.width));
  return (row + part) * rows.bar;
}

/** The nearest multiple of `step`, halves towards the later. */
export const snap = (position: number, step: number): number => Math.floor(position / step + 0.5) * step;

/**
 * The outline of a stroke's block: as long as the stroke, pointing the way the record moves. Its point is as deep
 * as half its height, but never more than 45 % of its length.
 * @param middle y of its middle line; @param height full height, pixels
 */
export function blockOutline(
  direction: "forward" | "back",
  x0: number,
  x1: number,
  middle: number,
  height: number,
): Point[] {
  const half = height / 2;
  const depth = Math.min(half, (x1 - x0) * 0.45);
  if (direction === "forward") {
    return [
      { x: x0, y: middle - half },
      { x: x1 - depth, y: middle - half },
      { x: x1, y: middle },
      { x: x1 - depth, y: middle + half },
      { x: x0, y: middle + half },
    ];
  }
  return [
    { x: x0, y: middle },
    { x: x0 + depth, y: middle - half },
    { x: x1, y: middle - half },
    { x: x1, y: middle + half },
    { x: x0 + depth, y: middle + half },
  ];
}

/** The part of a convex outline between two upright lines (Sutherland and Hodgman 1974, two half planes). */
export function cutOutline(outline: readonly Point[], from: number, to: number): Point[] {
  const keep = (points: readonly Point[], inside: (x: number) => boolean, edge: number): Point[] =>
    points.flatMap((point, index) => {
      const before = points[(index + points.length - 1) % points.length]!;
      const crossing = (): Point => ({
        x: edge,
        y: before.y + ((point.y - before.y) * (edge - before.x)) / (point.x - before.x),
      });
      if (inside(point.x)) return inside(before.x) ? [point] : [crossing(), point];
      return inside(before.x) ? [crossing()] : [];
    });
  return keep(
    keep(outline, (x) => x >= from, from),
    (x) => x <= to,
    to,
  );
}

/** How high a block is for a speed (times platter speed): slow moves stay visible, six times fills the track. */
export function blockHeight(speed: number, track: number): number {
  const part = Math.sqrt(Math.min(6, Math.max(0, speed)) / 6);
  return Math.max(track * 0.22, track * part);
}

const round = (value: number): string => `${Math.round(value * 100) / 100}`;

export const outlinePath = (outline: readonly Point[]): string =>
  outline.length < 3 ? "" : `M${outline.map(({ x, y }) => `${round(x)} ${round(y)}`).join("L")}Z`;
export const boxPath = (x0: number, x1: number, top: number, height: number): string =>
  `M${round(x0)} ${round(top)}H${round(x1)}V${round(top + height)}H${round(x0)}Z`;
export const linePath = (x0: number, y0: number, x1: number, y1: number): string =>
  `M${round(x0)} ${round(y0)}L${round(x1)} ${round(y1)}`;

/**
 * A bracket over one round of a group. Where its start or end lies in another row it is left open there, so that
 * a group that crosses a bar line reads on.
 */
export function bracketPath(
  x0: number,
  x1: number,
  top: number,
  height: number,
  ends: { readonly starts: boolean; readonly ends: boolean; readonly below: boolean },
): string {
  const line = ends.below ? top + height - 1.5 : top + 1.5;
  const foot = ends.below ? top : top + height;
  const start = ends.starts
    ? `M${round(x0 + 1)} ${round(foot)}L${round(x0 + 1)} ${round(line)}`
    : `M${round(x0)} ${round(line)}`;
  const end = ends.ends
    ? `L${round(x1 - 2)} ${round(line)}L${round(x1 - 2)} ${round((foot + line) / 2)}`
    : `L${round(x1)} ${round(line)}`;
  return start + end;
}
