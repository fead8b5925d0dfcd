/**
 * What a thread works on for a while gives way to everything else: an edit is answered, heard and drawn first, also where
 * no core is free. Only Linux knows the priority of one thread; elsewhere it would be the whole program's.
 */
import { constants, platform, setPriority } from "node:os";

/** Called by a thread as it begins. */
export function giveWay(): void {
  if (platform() !== "linux") return;
  try {
    setPriority(0, constants.priority.PRIORITY_LOW);
  } catch {
    // Not allowed here: it works beside the others then.
  }
}
