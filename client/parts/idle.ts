/**
 * Does something when the page has nothing else to do, at the latest after `longest` milliseconds; where the browser
 * cannot tell, then. @returns the way to leave it be
 */
export function whenIdle(act: () => void, longest: number): () => void {
  if (typeof requestIdleCallback !== "function") {
    const timer = setTimeout(act, longest);
    return () => clearTimeout(timer);
  }
  const asked = requestIdleCallback(act, { timeout: longest });
  return () => cancelIdleCallback(asked);
}
