/** What can be done with the section where one is, and with the routine as a whole. */
import { setLoop } from "../audio/loop.ts";
import { partOf } from "../paper/address.ts";
import type { Action } from "../state/actions.ts";
import { BUILT_IN, goTo, MINE } from "../state/place.ts";
import { opened } from "../state/shown.ts";
import { moveSection, sectionHere } from "./going.ts";
import { focusOnTop, goToNextProblem } from "./Problems.tsx";
import { routineAction as action } from "./routineAction.ts";
import { addSection, removeSection, repeatSection, toggleForm } from "./sections.ts";

export const sectionActions = (): readonly Action[] => [
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
];
