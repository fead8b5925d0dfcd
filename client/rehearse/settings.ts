/** What this browser remembers of how the user practises. What it cannot read is as at the start. */
import type { Signal } from "@preact/signals";
import { z } from "zod";
import { DRILL, Drill } from "../../schemas/drill.ts";
import { remembered } from "../state/remembered.ts";

const kept = <Value>(key: string, start: Value, shape: z.ZodType<Value>): Signal<Value> =>
  remembered(key, start, (value): value is Value => shape.safeParse(value).success);

export const drill = kept<Drill>("drill", DRILL, Drill);

/** What can be steered without the mouse. */
export const COMMANDS = {
  start: "Start or stop",
  good: "That round was good",
  bad: "That round went wrong",
  faster: "Faster by 5 %",
  slower: "Slower by 5 %",
  next: "The next part",
  previous: "The part before",
  on: "Go on at the next section",
  fader: "Your fader",
} as const;
export type Command = keyof typeof COMMANDS;
const COMMAND_NAMES = Object.keys(COMMANDS) as [Command, ...Command[]];

/** "key f", "note 1 60", "control 1 64", "program 1 3", "button 0 2", "axis 0 1": kind, channel or pad, number. */
export type Bindings = Readonly<Record<Command, readonly string[]>>;
const START: Bindings = {
  start: ["key Space"],
  good: ["key ArrowUp"],
  bad: ["key ArrowDown"],
  faster: ["key +"],
  slower: ["key -"],
  next: ["key ArrowRight"],
  previous: ["key ArrowLeft"],
  on: ["key Enter"],
  fader: ["key f"],
};
const source = z.string().max(60);
export const bindings = kept<Bindings>(
  "controls",
  START,
  z.record(z.enum(COMMAND_NAMES), z.array(source).max(8)),
);
export const resetBindings = (): void => {
  bindings.value = START;
};

const FaderManner = z.strictObject({
  /** A key, note or button opens the fader while it is held, or shuts it. */
  held: z.enum(["opens", "shuts"]),
  /** Of a fader's way, from its shut end, 0 to 1: where it opens. */
  cutIn: z.number().min(0.01).max(0.99),
});
export const faderManner = kept(
  "fader",
  { held: "opens", cutIn: 0.06 } as z.infer<typeof FaderManner>,
  FaderManner,
);

/** Pauses are proposed after so many minutes, or so many strokes and clicks; 0: never. */
const Pauses = z.strictObject({
  minutes: z.int().min(0).max(240),
  moves: z.int().min(0).max(1_000_000),
});
export const pauses = kept("pauses", { minutes: 20, moves: 6_000 } as z.infer<typeof Pauses>, Pauses);
/** Cautions that were read, by name. */
export const cautions = kept<string[]>("cautions", [], z.array(z.string().max(40)).max(40));
/** Dim, for the stage. */
export const dim = kept("dim", false, z.boolean());
