/**
 * Does something when the page has nothing else to do; where the browser cannot tell, after `longest` milliseconds.
 * @param longest that it waits at most; without it, as long as it takes. @returns the way to leave it be
 */
export function whenIdle(act: () => void, longest?: number): () => void {
  if (typeof requestIdleCallback !== "function") {
    const timer = setTimeout(act, longest);
    return () => clearTimeout(timer);
  }
  const asked = requestIdleCallback(act, longest === undefined ? {} : { timeout: longest });
  return () => cancelIdleCallback(asked);
}
