/** What the keys do on the Routine screen. Arrows move what is chosen; with nothing chosen, they move the spot. */
import { playFrom, setLoop } from "../audio/transport.ts";
import { partOf } from "../paper/address.ts";
import { type Action, useActions } from "../state/actions.ts";
import { BUILT_IN, MINE, goTo } from "../state/place.ts";
import { opened } from "../state/store.ts";
import { inTurn, pending } from "../state/turn.ts";
import { chooseNone, chosen, chosenNow } from "./chosen.ts";
import { nudge } from "./gesture.ts";
import { allValues } from "./ChosenPanel.tsx";
import { openJoin } from "./JoinMarks.tsx";
import { keyOfAddress } from "./lying.ts";
import { again, copyChosen, cutAtSpot, fillOn, held, paste, putPhrase } from "./putting.ts";
import { focusOnTop, goToNextProblem } from "./Problems.tsx";
import { reveal } from "./reveal.ts";
import { addSection, removeSection, repeatSection, toggleForm } from "./sections.ts";
import { remove } from "./settle.ts";
import { WITH_KEYS } from "./PutIn.tsx";
import { landing } from "./SpotPanel.tsx";
import { LANDING } from "./Landing.tsx";
import { spot, spotAt } from "./spot.ts";
import {
  nothing,
  noSpot,
  nowhere,
  arrow,
  next,
  sectionHere,
  chooseSection,
  moveSection,
  goToPlayer,
  toPanel,
} from "./going.ts";

export function useRoutineActions(): void {
  const action = (
    id: string,
    name: string,
    keys: readonly string[],
    run: () => void,
    disabled?: () => boolean,
  ): Action => ({
    id,
    name,
    keys,
    run: () => inTurn(run),
    ...(disabled === undefined ? {} : { disabled: () => !pending() && disabled() }),
  });
  const anyChosen = chosen.value.length > 0;
  const anyHeld = held.value.length > 0;
  useActions(
    "Routine",
    [
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
      action(
        "bar-shorter",
        "End it a bar earlier",
        ["Ctrl+ArrowUp"],
        () => nudge("stretch", -1, "bar"),
        nothing,
      ),
      action(
        "bar-longer",
        "End it a bar later",
        ["Ctrl+ArrowDown"],
        () => nudge("stretch", 1, "bar"),
        nothing,
      ),
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
      action(
        "remove",
        "Remove what is chosen",
        ["Delete", "Backspace"],
        () => remove(chosenNow.value),
        nothing,
      ),
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
      action("add-section", "Add a section behind this one", ["Alt+n"], () =>
        addSection(sectionHere() ?? undefined),
      ),
      action("section-up", "Move this section up", [], () => moveSection(-1)),
      action("section-down", "Move this section down", [], () => moveSection(1)),
      action("remove-section", "Remove this section", [], () => {
        const section = sectionHere();
        if (section !== null) removeSection(section);
      }),
      action("loop-join", "Loop the join before this section", [], () => {
        const section = sectionHere();
        if (section !== null) setLoop({ kind: "join", section: section.id });
      }),
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
      action("next-problem", "Go to the next problem or warning", ["t"], goToNextProblem),
      action("paper", "The routine on paper", [], () => goTo("routine", "paper")),
      action("section-paper", "This section on paper", [], () => {
        const section = sectionHere();
        if (section !== null) goTo("routine", partOf({ kind: "section", id: section.id }));
      }),
      action("built-in", "Look through the built-in beats", [], () => goTo("write", BUILT_IN)),
      action("title", "Change the title", [], () => focusOnTop("Title")),
      action("limit", "Set a time limit", [], () => focusOnTop("Time limit")),
      action("mine", "My phrases", [], () => goTo("routine", MINE)),
      action("repeat-section", "Repeat this section", [], () => {
        const section = sectionHere();
        if (section !== null) repeatSection(section);
      }),
      action("change-section", "Change this section’s values", ["v"], () => {
        const section = sectionHere() ?? opened.value?.routine.sections[0];
        if (section === undefined) return;
        toggleForm(section.id);
        requestAnimationFrame(() =>
          document.querySelector<HTMLElement>(`#section-${section.id} .form input`)?.focus(),
        );
      }),
      action("choose-none", "Choose nothing", ["Escape"], () => {
        if (!nothing()) chooseNone();
        else if (landing.value) landing.value = false;
        else spot.value = null;
      }),
    ],
    [anyChosen, anyHeld],
  );
}
