/** What this browser remembers about how the screens look and sound; the routine itself is the server's. */
import { effect } from "@preact/signals";
import type { NoteNames } from "../parts/music.ts";
import { remembered } from "./remembered.ts";
import { LAST_ROUTINE } from "./stored.ts";

const oneOf =
  <Value extends string>(...values: Value[]) =>
  (value: unknown): value is Value =>
    values.includes(value as Value);
const part = (value: unknown): value is number => typeof value === "number" && value >= 0 && value <= 1;
const yesOrNo = (value: unknown): value is boolean => typeof value === "boolean";

export type Theme = "dark" | "light";
const preferred: Theme =
  typeof matchMedia === "function" && matchMedia("(prefers-color-scheme: light)").matches ? "light" : "dark";

export const theme = remembered<Theme>("theme", preferred, oneOf<Theme>("dark", "light"));
export const otherTheme = (): void => {
  theme.value = theme.value === "dark" ? "light" : "dark";
};
export const noteNames = remembered<NoteNames>(
  "notes",
  "sixteenth",
  oneOf<NoteNames>("sixteenth", "semiquaver"),
);
/** 0 to 1; starts quiet: its square is the gain, −16 dB. */
export const level = remembered<number>("level", 0.4, part);
/** The picture of what is heard stands under the rows. */
export const heardShown = remembered<boolean>("heard", true, yesOrNo);
/** While playing, when another phrase or place comes: the bar is that of what is heard. */
export const comes = remembered<"now" | "group" | "beat" | "bar">(
  "comes",
  "now",
  oneOf<"now" | "group" | "beat" | "bar">("now", "group", "beat", "bar"),
);
/** Levels of the channels, each 0 to 1. */
export const channelLevels = {
  hands: remembered<number>("level-hands", 1, part),
  others: remembered<number>("level-others", 1, part),
  beat: remembered<number>("level-beat", 1, part),
  clicks: remembered<number>("level-clicks", 1, part),
};
export const cautionSeen = remembered<boolean>("caution-seen", false, yesOrNo);
/** Milliseconds that the sound leaves later than the browser says, as measured; 0 to 1,000. */
export const extraLatency = remembered<number>(
  "extra-latency",
  0,
  (value): value is number => typeof value === "number" && value >= 0 && value <= 1_000,
);
/** MIDI was let in before: ask for it again when the page loads. */
export const midiWanted = remembered<boolean>("midi", false, yesOrNo);
const text = (value: unknown): value is string => typeof value === "string" && value.length <= 300;
/** The port that MIDI goes out to and the one whose clock is followed, by their names; "": none. */
export const midiOutName = remembered<string>("midi-out", "", text);
export const clockInName = remembered<string>("clock-in", "", text);
export const clockSent = remembered<boolean>("clock-sent", true, yesOrNo);
/** The octave that key 60 is written in: C3, C4 or C5. */
export const middleC = remembered<number>(
  "middle-c",
  4,
  (value): value is number => value === 3 || value === 4 || value === 5,
);
export const lastRoutine = remembered<string>(
  LAST_ROUTINE,
  "",
  (value): value is string => typeof value === "string",
);

effect(() => {
  if (typeof document !== "undefined") document.documentElement.dataset["theme"] = theme.value;
});
