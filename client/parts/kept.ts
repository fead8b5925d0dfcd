/**
 * For a field whose text is the user's until it is committed: drawing the screen again, because something was saved or
 * changed elsewhere, does not take it from under the fingers. Another value from outside is shown.
 *
 * @returns the field's ref; give the field `defaultValue`, not `value`
 */
import type { RefObject } from "preact";
import { useEffect, useRef } from "preact/hooks";

export function useKept(value: string): RefObject<HTMLInputElement | null> {
  const ref = useRef<HTMLInputElement>(null);
  useEffect(() => {
    if (ref.current !== null && ref.current.value !== value) ref.current.value = value;
  }, [value]);
  return ref;
}
