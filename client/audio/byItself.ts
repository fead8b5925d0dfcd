/** A screen that plays something by itself, in place of the routine: as long as it is shown. */
import { useEffect, useRef } from "preact/hooks";
import type { Routine } from "../../schemas/routine.ts";
import { material } from "./material.ts";

/** @param make what is heard; null: as before. Called again where one of `changes` is another value. */
export function useByItself(make: () => Routine | null, changes: readonly unknown[]): void {
  const mine = useRef<typeof material.value>(null);
  useEffect(() => {
    const routine = make();
    if (routine === null) return;
    mine.current = { kind: "alone", routine: routine as never };
    material.value = mine.current;
  }, [...changes]);
  // What takes this screen's place may have set its own already: that one stays, and plays on.
  useEffect(
    () => () => {
      if (material.peek() === mine.current) material.value = null;
    },
    [],
  );
}
