/** The round of a drill that comes next: which part it plays and how, told to the server while another is heard. */
import { computed } from "@preact/signals";
import type { Round } from "../../schemas/soundWire.ts";
import * as player from "../audio/player.ts";
import { Bag } from "./bag.ts";
import { chosenKey, chosenParts } from "./choice.ts";
import type { Part } from "./drills.ts";
import { parts } from "./plan.ts";
import { climbOf, heardRound, mode, rounds, tempoOf } from "./rounds.ts";
import { drill } from "./settings.ts";

let upcoming: { number: number; part: Part } | null = null;
const bag = new Bag<Part>();

/** The part for a round after one of `last`; undefined where there is nothing to practise. */
export const draw = (last?: Part): Part | undefined => bag.draw(chosenParts(), last);

function roundOf(number: number, part: Part): Round {
  const { countIn, rest, silentEvery } = drill.value;
  return {
    number,
    range: part.range,
    speed: tempoOf(part) / 100,
    countIn,
    rest,
    silent: silentEvery > 0 && (number + 1) % silentEvery === 0,
  };
}

export function firstRound(part: Part): Round {
  upcoming = { number: 0, part };
  return roundOf(0, part);
}

/** As it would be now. @param anew another part may come than was meant */
export function planNext(anew = false): void {
  const last = rounds.value.at(-1);
  if (last === undefined) return;
  const number = last.round.number + 1;
  if (anew || upcoming?.number !== number) upcoming = { number, part: draw(last.part) ?? last.part };
  player.plan([roundOf(number, upcoming.part)]);
}

export function forgetPlan(): void {
  upcoming = null;
}

player.whenRound((frame, round) => {
  if (mode.value !== "drill") return;
  const part = upcoming?.number === round.number ? upcoming.part : rounds.value.at(-1)?.part;
  if (part === undefined) return;
  // A round that was taken back, since something changed, is told again.
  const before = rounds.value.filter((one) => one.round.number < round.number);
  rounds.value = [...before, { frame, round, part, judged: null, climb: climbOf(part.key) }];
  planNext();
});

/** The part of the round to come; null where the same is played again. */
export const nextPart = computed((): Part | null => {
  const last = rounds.value.at(-1);
  const now = heardRound.value;
  if (last === undefined || now === null) return null;
  if (last.round.number > now.round.number) return last.part;
  return upcoming?.part ?? null;
});

/** The part that is practised, one on or back in the list; heard from the next round on. */
export function choose(key: string | null): void {
  chosenKey.value = key;
  bag.empty();
  planNext(true);
}
export function step(by: 1 | -1): void {
  const keys = parts.value.map(({ key }) => key);
  const at = keys.indexOf(chosenParts()[0]?.key ?? "");
  choose(keys[(at + by + keys.length) % keys.length] ?? null);
}
