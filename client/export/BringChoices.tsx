/** What a MIDI file that is brought is read as: which of its tracks and keys are meant. */
import { TickField } from "../parts/Fields.tsx";
import { keyWords } from "../parts/keys.ts";
import { counted } from "../parts/music.ts";
import { middleC } from "../state/settings.ts";
import type { Understood, Choice } from "./bring.ts";

interface Choosing {
  readonly choice: Choice;
  readonly is: Understood;
  readonly again: (more: Choice) => void;
}

/** A position takes two controllers, the low byte 32 above the high one. */
export const records = ({ tracks }: Understood): (readonly [string, string])[] => {
  const there = new Set(tracks.flatMap(({ controllers }) => controllers.map(({ number }) => number)));
  const pairs = [...there].filter((one) => one < 32 && there.has(one + 32)).sort((a, b) => a - b);
  return [
    ["keys", "two keys"],
    ...pairs.map((one) => [`controller ${one}`, `controller ${one}, its position`] as const),
  ];
};

export const faders = ({ tracks, fader }: Understood): (readonly [string, string])[] => {
  const numbers = (of: "keys" | "controllers"): number[] =>
    [...new Set(tracks.flatMap((track) => track[of].map(({ number }) => number)))].sort((a, b) => a - b);
  const all = [
    ["none", "open throughout"] as const,
    ...numbers("controllers").map((one) => [`controller ${one}`, `controller ${one}`] as const),
    ...numbers("keys").map((one) => [`key ${one}`, `key ${keyWords(one, middleC.value, true)}`] as const),
  ];
  return all.some(([value]) => value === fader) || fader === undefined
    ? all
    : [...all, [fader, fader] as const];
};

/** @param all everything; left out in the choice, all are taken */
const without = (
  all: readonly number[],
  taken: readonly number[] | undefined,
  one: number,
  on: boolean,
): number[] => {
  const now = new Set(taken ?? all);
  if (on) now.add(one);
  else now.delete(one);
  return all.filter((each) => now.has(each));
};

export function Tracks({ choice, is, again }: Choosing) {
  const all = is.tracks.map((_, index) => index);
  return (
    <fieldset class="strand">
      <legend>Tracks</legend>
      <div class="line">
        {is.tracks.map(({ name, notes, controllers }, index) => (
          <TickField
            key={index}
            label={`${name === "" ? `track ${index + 1}` : name} (${counted(notes, "note")}, ${counted(
              controllers.reduce((sum, { count }) => sum + count, 0),
              "controller event",
            )})`}
            value={choice.tracks?.includes(index) ?? true}
            onValue={(on) => again({ tracks: without(all, choice.tracks, index, on) })}
          />
        ))}
      </div>
    </fieldset>
  );
}

export function Keys({ choice, is, again }: Choosing) {
  const counts = new Map<number, number>();
  for (const [index, { keys }] of is.tracks.entries()) {
    if (choice.tracks?.includes(index) === false) continue;
    for (const { number, count } of keys) counts.set(number, (counts.get(number) ?? 0) + count);
  }
  const all = [...counts.keys()].sort((a, b) => a - b);
  if (all.length < 2) return null;
  return (
    <fieldset class="strand">
      <legend>Keys</legend>
      <div class="line">
        {all.map((key) => (
          <TickField
            key={key}
            label={`${keyWords(key, middleC.value, true)}: ${counted(counts.get(key) ?? 0, "note")}`}
            value={choice.keys?.includes(key) ?? true}
            onValue={(on) => again({ keys: without(all, choice.keys, key, on) })}
          />
        ))}
      </div>
    </fieldset>
  );
}
