/** A value that this browser remembers. */
import { effect, type Signal, signal } from "@preact/signals";

/** @param valid whether what is stored is such a value; where it is not, the value is as at the start */
export function remembered<Value>(
  key: string,
  start: Value,
  valid: (value: unknown) => value is Value,
): Signal<Value> {
  const stored = read(`countercut.${key}`);
  const kept = signal<Value>(valid(stored) ? stored : start);
  effect(() => write(`countercut.${key}`, kept.value));
  return kept;
}

function read(key: string): unknown {
  try {
    return JSON.parse(localStorage.getItem(key) ?? "null");
  } catch {
    return null; // Storage may be shut off, or hold what we did not write.
  }
}

function write(key: string, value: unknown): void {
  try {
    localStorage.setItem(key, JSON.stringify(value));
  } catch {
    // Without storage the setting lasts as long as the page.
  }
}
