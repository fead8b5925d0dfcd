/**
 * For a field whose text is the user's until it is committed: drawing the screen again, because something was saved or
 * changed elsewhere, does not take it from under the fingers. Escape gives back what is there, and the next one leaves
 * the field, so that keys act on the screen again. What was committed stays
 * in sight until the server has it; what cannot be read stays until it is mended.
 *
 * @returns the field's ref; give the field `defaultValue`, not `value`
 */
import type { RefObject } from "preact";
import { useLayoutEffect, useRef } from "preact/hooks";
import { waitingHere } from "../state/waiting.ts";

export function useKept(value: string): RefObject<HTMLInputElement | null> {
  const ref = useRef<HTMLInputElement>(null);
  const typing = useRef(false);
  const shown = useRef(value);
  const onItsWay = waitingHere.value.length > 0;
  const last = useRef(value);
  last.current = value;
  useLayoutEffect(() => {
    const field = ref.current;
    if (field === null) return;
    const typed = (): void => {
      typing.current = true;
    };
    const committed = (): void => {
      typing.current = !field.validity.valid;
    };
    const letGo = (event: KeyboardEvent): void => {
      if (event.key !== "Escape") return;
      if (!typing.current) {
        field.blur();
        return;
      }
      event.preventDefault();
      event.stopPropagation();
      field.value = last.current;
      field.setCustomValidity("");
      typing.current = false;
    };
    // Typing back to what was there makes no change event.
    const left = (): void => {
      if (field.value === last.current) typing.current = false;
    };
    field.addEventListener("input", typed);
    field.addEventListener("change", committed);
    field.addEventListener("blur", left);
    field.addEventListener("keydown", letGo);
    return () => {
      field.removeEventListener("input", typed);
      field.removeEventListener("change", committed);
      field.removeEventListener("blur", left);
      field.removeEventListener("keydown", letGo);
    };
  }, []);
  useLayoutEffect(() => {
    const field = ref.current;
    if (field === null || typing.current) return;
    if (value === shown.current && onItsWay) return;
    shown.current = value;
    if (field.value !== value) field.value = value;
  });
  return ref;
}
