/** An action of the Routine screen: done in its turn, when what was changed before it is known. */
import type { Action } from "../state/actions.ts";
import { inTurn, pending } from "../state/turn.ts";

/** @param disabled asked only while nothing is on its way, which may change the answer */
export const routineAction = (
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
