/** Which hand does what: for the rig as it is set up, or for one who plays it the other way round. */
import type { Rig } from "../../schemas/routine.ts";

export type Side = "left" | "right";
const other = (side: Side): Side => (side === "left" ? "right" : "left");

export interface Hands {
  readonly record: Side;
  readonly fader: Side;
  /** Where the turntable stands; null: the rig does not say. */
  readonly turntable: Side | null;
  /** Where the crossfader is pushed to open it; null: not known. */
  readonly opens: Side | null;
  readonly reversed: boolean;
}

/**
 * A crossfader is pushed towards a turntable to open it, away from it where it is reversed (common practice). What the
 * rig does not say is left out.
 */
export function handsOf(rig: Rig | undefined, mirrored: boolean): Hands {
  const turn = (side: Side): Side => (mirrored ? other(side) : side);
  const record = turn(rig?.recordHand ?? "right");
  const turntable = rig?.turntable === undefined ? null : turn(rig.turntable);
  const reversed = rig?.reversedFader === true;
  const opens = turntable === null || !reversed ? turntable : other(turntable);
  return { record, fader: other(record), turntable, opens, reversed };
}

export function handsText({ record, fader, turntable, opens, reversed }: Hands): string {
  const stands = turntable === null ? "" : `, turntable on the ${turntable}`;
  const open =
    opens === null
      ? reversed
        ? ", reversed"
        : ""
      : `, open towards the ${opens}${reversed ? " (reversed)" : ""}`;
  return `Record: ${record} hand${stands}. Fader: ${fader} hand${open}. Forward is clockwise for either hand.`;
}
