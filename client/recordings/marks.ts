/** How an error is drawn under its place in a bar row: by shape, side and height, not by colour. */
import { becameOf } from "./summary.ts";

/** Milliseconds that fill the room to one side of a mark's place. */
const MOST = 50;

/**
 * Early stands over the line and points left, late under it and points right; missed is a cross, fine a short stroke.
 *
 * @param x, middle of the mark, pixels @param height of the room that it has, pixels
 */
export function markShape(
  x: number,
  middle: number,
  height: number,
  sound: { readonly errorMs: number | null; readonly unheardMs: number },
): string {
  const unit = height / 30;
  const became = becameOf(sound);
  if (became === "missed") {
    const arm = 4 * unit;
    return `M${x - arm} ${middle - arm}l${2 * arm} ${2 * arm}m0 ${-2 * arm}l${-2 * arm} ${2 * arm}`;
  }
  if (became === "fine" || sound.errorMs === null) return `M${x} ${middle - 3 * unit}v${6 * unit}`;
  const size = unit * (4 + 8 * Math.min(1, Math.abs(sound.errorMs) / MOST));
  return became === "early"
    ? `M${x} ${middle}v${-size}l${-size} ${size / 2}Z`
    : `M${x} ${middle}v${size}l${size} ${-size / 2}Z`;
}
