/**
 * A hand knows no corners: swing gives the first of a pair more time than the second, but within a stroke that
 * goes on across both the hand only leans. So the part that is done goes smoothly through the exact values at the
 * knots (where swing or tempo change its pace), never back: F. N. Fritsch and J. Butland (1984), A method for
 * constructing local monotone piecewise cubic interpolants.
 */
/** @param frames of the knots, ascending; @param done at each, ascending. Knots closer than a frame are joined. */
export function smoothTime(
  frames: readonly number[],
  done: readonly number[],
): { readonly start: number; readonly end: number; readonly time: readonly number[] }[] {
  const x: number[] = [];
  const y: number[] = [];
  for (const [i, frame] of frames.entries()) {
    const last = i === frames.length - 1;
    if (x.length > 0 && frame - x.at(-1)! < 1) {
      // Of two knots too close together the later gives way, but for the last one.
      if (!last || x.length === 1) continue;
      x.pop();
      y.pop();
    }
    x.push(frame);
    y.push(done[i]!);
  }
  const slope = (i: number): number => (y[i + 1]! - y[i]!) / (x[i + 1]! - x[i]!);
  const width = (i: number): number => x[i + 1]! - x[i]!;
  const end = (near: number, far: number): number => {
    if (x.length < 3) return slope(0);
    const [h, k, s, t] = [width(near), width(far), slope(near), slope(far)];
    return Math.min(Math.max(0, ((2 * h + k) * s - h * t) / (h + k)), 3 * s);
  };
  const tangent = (i: number): number => {
    if (i === 0) return end(0, 1);
    if (i === x.length - 1) return end(i - 1, i - 2);
    const w = 2 * width(i) + width(i - 1);
    const v = width(i) + 2 * width(i - 1);
    return (w + v) / (w / slope(i - 1) + v / slope(i));
  };
  return x.slice(1).map((next, i) => {
    const h = width(i);
    const [a, b, s] = [tangent(i), tangent(i + 1), slope(i)];
    return {
      start: x[i]!,
      end: next,
      time: [y[i]!, a, (3 * s - 2 * a - b) / h, (a + b - 2 * s) / (h * h)],
    };
  });
}
