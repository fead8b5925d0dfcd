/** To the space of combinations, beginning with the step of the phrase in hand. */
import type { Pattern } from "../../schemas/routine.ts";
import { goTo } from "../state/place.ts";
import { FIND } from "./findPlace.ts";
import { wish } from "./search.ts";

export function beginFind(pattern: Pattern | null): void {
  const step = pattern?.record.step ?? wish.value.step;
  if (step !== wish.value.step) wish.value = { ...wish.value, step };
  goTo("write", FIND);
}
