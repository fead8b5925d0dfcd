/** What the keys do on the Routine screen. */
import { useActions } from "../state/actions.ts";
import { chosen } from "./chosen.ts";
import { placementActions } from "./placementKeys.ts";
import { held } from "./putting.ts";
import { sectionActions } from "./sectionKeys.ts";

export function useRoutineActions(): void {
  const anyChosen = chosen.value.length > 0;
  const anyHeld = held.value.length > 0;
  useActions("Routine", [...placementActions(anyChosen, anyHeld), ...sectionActions()], [anyChosen, anyHeld]);
}
