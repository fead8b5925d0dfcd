/** Which hand does what, in words: for the rig as it is set up, or for one who plays it the other way round. */
import type { Rig } from "../../schemas/routine.ts";

type Side = "left" | "right";
const other = (side: Side): Side => (side === "left" ? "right" : "left");

/**
 * A crossfader is pushed towards a turntable to open it, away from it where it is reversed (common practice). What the
 * rig does not say is left out.
 */
export function handsText(rig: Rig | undefined, mirrored: boolean): string {
  const turn = (side: Side): Side => (mirrored ? other(side) : side);
  const record = turn(rig?.recordHand ?? "right");
  const table = rig?.turntable === undefined ? null : turn(rig.turntable);
  const reversed = rig?.reversedFader === true;
  const stands = table === null ? "" : `, turntable on the ${table}`;
  const open =
    table === null
      ? reversed
        ? ", reversed"
        : ""
      : `, open towards the ${reversed ? other(table) : table}${reversed ? " (reversed)" : ""}`;
  return `Record: ${record} hand${stands}. Fader: ${other(record)} hand${open}. Forward is clockwise for either hand.`;
}
