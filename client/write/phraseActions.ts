/** The keys of a phrase: arrows go over the strokes and cells, a key makes one what it is. */
import type { Action } from "../state/actions.ts";
import { edit, kind, longer, mirror, step, times, travel } from "./editInHand.ts";
import { inHand } from "./inHand.ts";

export const PHRASE_ACTIONS: readonly Action[] = [
  { id: "w-left", name: "To the stroke or cell before", keys: ["ArrowLeft"], run: step(-1) },
  { id: "w-right", name: "To the next stroke or cell", keys: ["ArrowRight"], run: step(1) },
  {
    id: "w-hand",
    name: "To the other hand",
    keys: ["ArrowUp", "ArrowDown"],
    run: () => {
      inHand.value = { hand: inHand.value.hand === "record" ? "fader" : "record", index: 0 };
    },
  },
  { id: "w-forward", name: "Make it forward", keys: ["f"], run: kind("forward") },
  { id: "w-back", name: "Make it back", keys: ["b"], run: kind("back") },
  { id: "w-hold", name: "Make it a hold", keys: ["h"], run: kind("hold") },
  { id: "w-open", name: "Make it open", keys: ["o"], run: kind("open") },
  { id: "w-closed", name: "Make it closed", keys: ["n"], run: kind("closed") },
  { id: "w-click", name: "Make it a click", keys: ["c"], run: kind("click") },
  { id: "w-pulse", name: "Make it a pulse", keys: ["p"], run: kind("pulse") },
  { id: "w-longer", name: "A step longer", keys: ["+", "="], run: longer(1) },
  { id: "w-shorter", name: "A step shorter, or half", keys: ["-"], run: longer(-1) },
  { id: "w-more", name: "15 degrees more travel", keys: ["."], run: travel(15) },
  { id: "w-less", name: "15 degrees less travel", keys: [","], run: travel(-15) },
  { id: "w-split", name: "Split once more", keys: ["x"], run: times(1) },
  { id: "w-join", name: "Split once less", keys: ["Shift+x"], run: times(-1) },
  {
    id: "w-copy",
    name: "Another like it after it",
    keys: ["Enter"],
    run: () => {
      edit(
        (items, index) => [...items.slice(0, index + 1), items[index]!, ...items.slice(index + 1)],
        "Add one",
      );
      step(1)();
    },
  },
  {
    id: "w-remove",
    name: "Take it out",
    keys: ["Delete", "Backspace"],
    run: () =>
      edit(
        (items, index) => (items.length === 1 ? items : items.filter((_, at) => at !== index)),
        "Take one out",
      ),
  },
  {
    id: "w-turn",
    name: "Start the hand one later in its cycle",
    keys: ["r"],
    run: () => edit((items) => [...items.slice(1), items[0]!], "Turn the cycle"),
  },
  { id: "w-mirror", name: "Exchange forward and back", keys: ["v"], run: mirror },
];
