/** What this browser keeps, by the page's own names. */

/** @returns null where nothing is kept, storage is shut off, or holds what we did not write */
export function read(key: string): unknown {
  try {
    return JSON.parse(localStorage.getItem(`countercut.${key}`) ?? "null");
  } catch {
    return null;
  }
}

/** Without storage it lasts as long as the page. */
export function write(key: string, value: unknown): void {
  try {
    localStorage.setItem(`countercut.${key}`, JSON.stringify(value));
  } catch {
    // Full or shut off.
  }
}

/** The routine that was open last. */
export const LAST_ROUTINE = "last-routine";
