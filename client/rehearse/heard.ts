/** What of the sound a drill lets be heard, and whose hand moves the fader. The count-in is always heard. */
import type { HeardParts } from "../../schemas/drill.ts";
import type { ClickChoice } from "../../schemas/soundWire.ts";
import type { FaderBy } from "../audio/handGate.ts";
import type { Levels } from "../audio/workletMessages.ts";

export interface HeardSound {
  readonly channels: ReadonlySet<keyof Levels>;
  readonly by: FaderBy;
  readonly ticks: boolean;
  /** null: as the user has them. */
  readonly clicks: ClickChoice | null;
}

const NONE: ClickChoice = { beat: false, record: false, fader: false };
const heard = (channels: (keyof Levels)[], what: Partial<HeardSound> = {}): HeardSound => ({
  channels: new Set([...channels, "clicks"]),
  by: "program",
  ticks: false,
  clicks: null,
  ...what,
});

const SOUNDS: Readonly<Record<HeardParts, HeardSound>> = {
  all: heard(["hands", "others", "beat"]),
  beat: heard(["beat"], { clicks: NONE }),
  click: heard([], { clicks: { ...NONE, beat: true } }),
  record: heard(["hands"], { by: "open", clicks: NONE }),
  fader: heard([], { ticks: true, clicks: NONE }),
  "my-fader": heard(["hands", "others", "beat"], { by: "mine" }),
  "my-record": heard(["others", "beat"], { ticks: true }),
};

export const soundFor = (parts: HeardParts): HeardSound => SOUNDS[parts];

export const HEARD_WORDS: Readonly<Record<HeardParts, string>> = {
  all: "everything",
  beat: "the beat alone",
  click: "the click alone",
  record: "the record hand alone, fader open",
  fader: "the fader hand alone, as ticks",
  "my-fader": "hands apart: my fader",
  "my-record": "hands apart: my record",
};
