/** What can be done with the phrases that are chosen, and at the spot. Arrows move what is chosen; with nothing chosen, the spot. */
import { playFrom } from "../audio/transport.ts";
import type { Action } from "../state/actions.ts";
import { goTo } from "../state/place.ts";
import { opened } from "../state/shown.ts";
import { allValues } from "./ChosenPanel.tsx";
import { chooseNone, chosenNow } from "./chosen.ts";
import { nudge } from "./gesture.ts";
import { arrow, chooseSection, goToPlayer, next, nothing, noSpot, nowhere, toPanel } from "./going.ts";
import { openJoin } from "./JoinMarks.tsx";
import { LANDING } from "./Landing.tsx";
import { keyOfAddress } from "./lying.ts";
import { WITH_KEYS } from "./PutIn.tsx";
import { again, copyChosen, cutAtSpot, fillOn, paste, putPhrase } from "./putting.ts";
import { reveal } from "./reveal.ts";
import { routineAction as action } from "./routineAction.ts";
import { remove } from "./settle.ts";
import { landing } from "./SpotPanel.tsx";
import { spot, spotAt } from "./spot.ts";

/** @param anyChosen, anyHeld whether something is chosen, or was copied */
export const placementActions = (anyChosen: boolean, anyHeld: boolean): readonly Action[] => [
  action("earlier", "Move what is chosen, or the spot, a step earlier", ["ArrowLeft"], arrow(-1, "beat")),
  action("later", "Move it a step later", ["ArrowRight"], arrow(1, "beat")),
  action("bar-earlier", "Move it a bar earlier", ["ArrowUp"], arrow(-1, "bar")),
  action("bar-later", "Move it a bar later", ["ArrowDown"], arrow(1, "bar")),
  action(
    "fine-earlier",
    "Move what is chosen a quarter of a step earlier",
    ["Alt+ArrowLeft"],
    () => nudge("move", -1, "fine"),
    nothing,
  ),
  action(
    "fine-later",
    "Move it a quarter of a step later",
    ["Alt+ArrowRight"],
    () => nudge("move", 1, "fine"),
    nothing,
  ),
  action("shorter", "End it a step earlier", ["Shift+ArrowLeft"], () => nudge("stretch", -1), nothing),
  action("longer", "End it a step later", ["Shift+ArrowRight"], () => nudge("stretch", 1), nothing),
  action("bar-shorter", "End it a bar earlier", ["Ctrl+ArrowUp"], () => nudge("stretch", -1, "bar"), nothing),
  action("bar-longer", "End it a bar later", ["Ctrl+ArrowDown"], () => nudge("stretch", 1, "bar"), nothing),
  action("next", "Choose the next phrase", ["n"], next(1, false)),
  action("before", "Choose the phrase before", ["Shift+n"], next(-1, false)),
  action("next-also", "Choose the next phrase as well", ["Ctrl+ArrowRight"], next(1, true)),
  action("before-also", "Choose the phrase before as well", ["Ctrl+ArrowLeft"], next(-1, true)),
  action("choose-section", "Choose everything in this section", ["Ctrl+a"], chooseSection),
  action(
    "join",
    "How what is chosen is reached, and what would mend it",
    ["j"],
    () => {
      const one = chosenNow.value.at(-1);
      const state = opened.value;
      if (one === undefined || state === null) return;
      // It stands where the one before ends, which may be a row or a section earlier.
      const end = spotAt(state, one.from - 1);
      if (end !== null) reveal(end.section, end.at);
      openJoin.value = keyOfAddress(one);
    },
    nothing,
  ),
  action("again", "Repeat what is chosen behind it", ["r"], again, nothing),
  action("until-next", "Let it go on to the next one", ["u"], () => fillOn("until-next"), nothing),
  action(
    "whole-rounds",
    "Let it go on, whole repeats only",
    ["Shift+u"],
    () => fillOn("whole-rounds"),
    nothing,
  ),
  action(
    "fill",
    "Fill the gap at the spot so that it lands",
    ["g"],
    () => {
      chooseNone();
      landing.value = !landing.value;
      if (landing.value)
        requestAnimationFrame(() => document.getElementById(LANDING)?.focus({ preventScroll: true }));
    },
    noSpot,
  ),
  action("to-panel", "To the buttons above the foot", ["b"], toPanel, nowhere),
  action("player-next", "Put in for the next player", [], () => goToPlayer(1), noSpot),
  action("player-before", "Put in for the player before", [], () => goToPlayer(-1), noSpot),
  action("cut-in-two", "Cut in two at the spot", ["x"], cutAtSpot, noSpot),
  action(
    "words",
    "Write words for the hands at the spot",
    ["w"],
    () => {
      chooseNone();
      landing.value = false;
      requestAnimationFrame(() => document.getElementById("words-for-hands")?.focus());
    },
    noSpot,
  ),
  ...Array.from({ length: WITH_KEYS }, (_, index) =>
    action(
      `put-${index + 1}`,
      `Put in phrase ${index + 1}`,
      [`${index + 1}`],
      () => {
        const pattern = opened.value?.routine.patterns[index];
        if (pattern !== undefined) putPhrase(pattern);
      },
      nowhere,
    ),
  ),
  action("remove", "Remove what is chosen", ["Delete", "Backspace"], () => remove(chosenNow.value), nothing),
  // Registered only while they do something, so that text can be copied from the page.
  ...(anyChosen
    ? [
        action("copy", "Copy what is chosen", ["Ctrl+c"], copyChosen, nothing),
        action(
          "cut",
          "Copy and remove what is chosen",
          ["Ctrl+x"],
          () => {
            copyChosen();
            remove(chosenNow.value);
          },
          nothing,
        ),
      ]
    : []),
  ...(anyHeld ? [action("paste", "Paste what was copied", ["Ctrl+v"], paste, nowhere)] : []),
  action(
    "play-spot",
    "Play from the spot",
    ["p"],
    () => {
      const here = spot.value;
      if (here !== null) playFrom(here.section, here.at);
    },
    noSpot,
  ),
  action(
    "values",
    "All values of what is chosen",
    ["e"],
    () => {
      allValues.value = !allValues.value;
    },
    nothing,
  ),
  action(
    "write-phrase",
    "Write the phrase that is chosen",
    [],
    () => goTo("write", chosenNow.value.at(-1)?.pattern?.id ?? ""),
    nothing,
  ),
  action("choose-none", "Choose nothing", ["Escape"], () => {
    if (!nothing()) chooseNone();
    else if (landing.value) landing.value = false;
    else spot.value = null;
  }),
];
