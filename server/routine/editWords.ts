/** What an edit did, in words for the history and for undo: "Moved Swell in Ring Road to bar 3". */
import { isDeepStrictEqual } from "node:util";
import type { SetBeat, SetPattern, SetRig, SetSection } from "../../schemas/edit.ts";
import {
  isWords,
  type Lasts,
  type Pattern,
  type Placement,
  type Routine,
  type Section,
} from "../../schemas/routine.ts";
import { barWords, called, plural } from "./called.ts";

/** "Swell", or the words in quotes. */
export function playedName(routine: Routine, placement: Placement): string {
  if (isWords(placement)) return `“${placement.words}”`;
  const pattern = routine.patterns.find(({ id }) => id === placement.pattern);
  return pattern === undefined ? placement.pattern : called(pattern);
}

function lastsWords(lasts: Lasts | undefined): string {
  if (lasts === undefined) return "until the next phrase";
  if ("bars" in lasts) return plural(lasts.bars, "bar");
  if ("cycles" in lasts) return plural(lasts.cycles, "repeat");
  return plural(lasts.steps, "step");
}

export interface Changed {
  readonly from: Placement;
  readonly to: Placement;
  readonly section: Section;
  readonly into: Section;
}

export function changedWords(routine: Routine, changes: readonly Changed[]): string {
  const [{ from, to, section, into }] = changes as [Changed];
  const same = (field: string): boolean =>
    changes.every(
      (one) =>
        JSON.stringify((one.from as Record<string, unknown>)[field]) ===
        JSON.stringify((one.to as Record<string, unknown>)[field]),
    );
  const moved = !same("bar") || !same("at");
  const stretched = !same("lasts");
  if (changes.length > 1) {
    const verb = moved && !stretched ? "Moved" : stretched && !moved ? "Stretched" : "Changed";
    const places = new Set(changes.map((one) => one.into));
    return `${verb} ${plural(changes.length, "phrase")}${places.size === 1 ? ` in ${called(into)}` : ""}`;
  }
  const name = playedName(routine, to);
  if (into !== section)
    return `Moved ${name} from ${called(section)} to ${called(into)}, ${barWords(to.bar)}`;
  if (moved && !stretched) {
    return from.bar === to.bar
      ? `Moved ${name} within ${barWords(to.bar)} of ${called(into)}`
      : `Moved ${name} in ${called(into)} to ${barWords(to.bar)}`;
  }
  if (stretched && !moved)
    return `Let ${name} in ${called(into)}, ${barWords(to.bar)} last ${lastsWords(to.lasts)}`;
  return `Changed ${name} in ${called(into)}, ${barWords(to.bar)}`;
}

export function placementsWords(
  verb: "Added" | "Removed",
  routine: Routine,
  placements: readonly Placement[],
  sections: readonly Section[],
): string {
  const [first] = placements as [Placement];
  const [section] = sections as [Section];
  const joint = verb === "Added" ? "to" : "from";
  const one = sections.every((other) => other === section);
  return placements.length === 1
    ? `${verb} ${playedName(routine, first)} ${joint} ${called(section)}, ${barWords(first.bar)}`
    : `${verb} ${plural(placements.length, "phrase")}${one ? ` ${joint} ${called(section)}` : ""}`;
}

const listed = (words: readonly string[]): string =>
  words.length < 2 ? (words[0] ?? "nothing") : `${words.slice(0, -1).join(", ")} and ${words.at(-1)}`;

const fieldsOf = (set: Readonly<Record<string, unknown>>): string[] =>
  Object.keys(set).filter((field) => set[field] !== undefined);

const SECTION_WORDS: Readonly<Record<keyof SetSection, string>> = {
  name: "name",
  bars: "bars",
  meter: "metre",
  tempo: "tempo",
  beat: "beat",
  swing: "swing",
  pitch: "pitch",
  beatContinues: "beat’s start",
  beatRests: "beat’s rests",
};

export function sectionWords(section: Section, set: SetSection): string {
  const { name, bars, meter, tempo } = set;
  const [only, ...more] = fieldsOf(set);
  const here = called(section);
  if (only !== undefined && more.length === 0) {
    if (typeof name === "string") return `Called ${here} ${name}`;
    if (bars !== undefined) return `Gave ${here} ${plural(bars, "bar")}`;
    if (meter !== undefined) return `Set ${here} to ${meter}`;
    if (tempo !== undefined) {
      return `Set the tempo of ${here} to ${typeof tempo === "number" ? tempo : `${tempo.from} to ${tempo.to}`}`;
    }
  }
  return `Changed the ${listed(fieldsOf(set).map((field) => SECTION_WORDS[field as keyof SetSection]))} of ${here}`;
}

/** Both hands may be written where one is another: that one is named. */
export function patternWords(pattern: Pattern, set: SetPattern): string {
  const written = (["record", "fader"] as const).filter((hand) => set[hand] !== undefined);
  const other = written.filter((hand) => !isDeepStrictEqual(set[hand], pattern[hand]));
  const hands = (other.length > 0 ? other : written).map((hand) => `${hand} hand`);
  if (hands.length > 0) return `Changed the ${listed(hands)} of ${called(pattern)}`;
  return typeof set.name === "string"
    ? `Called ${called(pattern)} ${set.name}`
    : `Took the name off ${called(pattern)}`;
}

export function beatWords(beat: { id: string; name?: string | undefined }, set: SetBeat): string {
  const [only, ...more] = fieldsOf(set);
  return only === "name" && more.length === 0 && typeof set.name === "string"
    ? `Called the beat ${called(beat)} ${set.name}`
    : `Changed the beat ${called(beat)}`;
}

const RIG_WORDS: Readonly<Record<keyof SetRig, string>> = {
  platter: "platter",
  recordHand: "hand on the record",
  turntable: "side of the turntable",
  reversedFader: "fader’s direction",
  samples: "samples",
  limits: "limits of the hands",
};

export const rigWords = (set: SetRig): string =>
  `Changed the ${listed(fieldsOf(set).map((field) => RIG_WORDS[field as keyof SetRig]))}`;
