/**
 * How far values lie apart: their standard deviation, they being the whole population; in their own unit. Null of fewer
 * than two, of which one cannot say that they lie apart or together.
 */
export function spreadOf(values: readonly number[]): number | null {
  if (values.length < 2) return null;
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length);
}
