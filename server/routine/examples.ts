/** The routines that the program brings. */
import type { Routine } from "../../schemas/routine.ts";
import { ATTIC_WALTZ } from "./atticWaltz.ts";
import { DEMO } from "./demo.ts";

export const EXAMPLES = { demo: DEMO, "attic-waltz": ATTIC_WALTZ } as const satisfies Readonly<
  Record<string, Routine>
>;
export type Example = keyof typeof EXAMPLES;
export const exampleNames = Object.keys(EXAMPLES) as readonly Example[];
