/** Drawing a beat by keys: a caret goes over its drums and steps, and puts hits in. */
import type { Beat } from "../../schemas/routine.ts";
import { useActions } from "../state/actions.ts";
import { changedTo, lanesOf, strikeAt, toggled } from "./beatHits.ts";
import { beatCaret, hitsNow, keepHits } from "./beatInHand.ts";
import { copyBeat, moveBeat, removeBeat } from "./beatList.ts";

/** @param grid steps that the caret goes at a time */
export function useBeatKeys(beat: Beat, grid: number): void {
  // Keys ask for hits and caret at the time: the next one may come before anything is drawn.
  const stronger = (by: number) => (): void => {
    const { key, at } = beatCaret.value;
    const now = hitsNow(beat.id);
    const hit = strikeAt(now, key, at);
    if (hit !== undefined)
      keepHits(beat, changedTo(now, hit, { ...hit, velocity: hit.velocity + by }), "Change a hit’s strength");
  };
  const along = (by: number) => (): void => {
    const { key, at } = beatCaret.value;
    beatCaret.value = { key, at: (at + by * grid + beat.steps) % beat.steps };
  };
  const over = (by: number) => (): void => {
    const { key, at } = beatCaret.value;
    const lanes = lanesOf(hitsNow(beat.id));
    beatCaret.value = { key: lanes[(lanes.indexOf(key) + by + lanes.length) % lanes.length]!, at };
  };
  const toggleHere = (): void => {
    const { key, at } = beatCaret.value;
    keepHits(beat, toggled(hitsNow(beat.id), key, at));
  };
  useActions(
    "Write a beat",
    [
      { id: "d-left", name: "To the step before", keys: ["ArrowLeft"], run: along(-1) },
      { id: "d-right", name: "To the next step", keys: ["ArrowRight"], run: along(1) },
      { id: "d-up", name: "To the drum above", keys: ["ArrowUp"], run: over(-1) },
      { id: "d-down", name: "To the drum below", keys: ["ArrowDown"], run: over(1) },
      {
        id: "d-hit",
        name: "Put a hit there, or take it out",
        keys: ["Enter", "x"],
        run: toggleHere,
      },
      { id: "d-copy", name: "Copy the beat", keys: [], run: () => copyBeat(beat) },
      { id: "d-remove", name: "Remove the beat", keys: [], run: () => removeBeat(beat) },
      { id: "d-earlier", name: "Move the beat up in the list", keys: [], run: () => moveBeat(beat, -1) },
      { id: "d-later", name: "Move the beat down in the list", keys: [], run: () => moveBeat(beat, 1) },
      { id: "d-strong", name: "The hit stronger", keys: ["."], run: stronger(8) },
      { id: "d-soft", name: "The hit softer", keys: [","], run: stronger(-8) },
    ],
    [beat, grid],
  );
}
