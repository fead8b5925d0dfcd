/** A value that this browser remembers. */
import { effect, type Signal, signal } from "@preact/signals";
import { read, write } from "./stored.ts";

/** @param valid whether what is stored is such a value; where it is not, the value is as at the start */
export function remembered<Value>(
  key: string,
  start: Value,
  valid: (value: unknown) => value is Value,
): Signal<Value> {
  const stored = read(key);
  const kept = signal<Value>(valid(stored) ? stored : start);
  effect(() => write(key, kept.value));
  return kept;
}
