/** Where two values part company, or null. Numbers of degrees and seconds are the same within one part in a million. */
const isClose = (a: number, b: number) => Math.abs(a - b) <= 1e-6 * Math.max(1, Math.abs(a), Math.abs(b));

/**
 * @param close whether the number at a field name may be off by one part in a million; all else is the same exactly
 * @returns "path: got, expected", or null when they are the same
 */
export function difference(
  got: unknown,
  expected: unknown,
  close: (field: string) => boolean,
  path = "",
): string | null {
  const differ = () => `${path || "/"}: ${JSON.stringify(got)}, expected ${JSON.stringify(expected)}`;
  if (typeof got === "number" && typeof expected === "number") {
    const isSame = close(path.slice(path.lastIndexOf("/") + 1)) ? isClose(got, expected) : got === expected;
    return isSame ? null : differ();
  }
  if (typeof got !== "object" || typeof expected !== "object" || got === null || expected === null)
    return Object.is(got, expected) ? null : differ();
  if (Array.isArray(got) !== Array.isArray(expected)) return differ();
  const [a, b] = [got as Record<string, unknown>, expected as Record<string, unknown>];
  for (const key of new Set([...Object.keys(a), ...Object.keys(b)])) {
    const found = difference(a[key], b[key], close, `${path}/${key}`);
    if (found) return found;
  }
  return null;
}
