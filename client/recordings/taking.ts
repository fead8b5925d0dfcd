/** What is being recorded at the moment: for whoever shows it, or leaves it alone. */
import { signal } from "@preact/signals";
import type { CountIn } from "../../schemas/soundWire.ts";
import type { Part } from "../rehearse/drills.ts";
import { said } from "../state/said.ts";

/** "starting": it is counted in. */
export const recording = signal<"no" | "starting" | "on">("no");

export interface Taking {
  readonly part: Part;
  readonly countIn: CountIn;
  /** Of the written tempo. */
  readonly speed: number;
  /** What the hands do, where they are not at a turntable: "F or J for every sound". */
  readonly tapping: string | null;
}
/** null: nothing is recorded. */
export const taking = signal<Taking | null>(null);

/** What is recorded is judged by how it was begun: until it is over, it is played so. Says it where it is asked for. */
export function isRecorded(): boolean {
  if (recording.value === "no") return false;
  said.value = "While you record, speed, loop and place stay as they are.";
  return true;
}
