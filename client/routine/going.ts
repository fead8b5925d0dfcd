/** Going about the routine by keys: what an arrow moves, the next thing, the section where one is. */
import { openedAhead } from "./ahead.ts";
import { MOST_PLAYERS } from "../../schemas/routine.ts";
import { said, told } from "../state/said.ts";
import { opened } from "../state/shown.ts";
import { chooseNext, chooseNone, chooseOnly, chosen, chosenNow } from "./chosen.ts";
import { nudge } from "./gesture.ts";
import { type Lying, lyingIn } from "./lying.ts";
import { reveal } from "./reveal.ts";
import { shiftSection } from "./sections.ts";
import { namesOf } from "./settle.ts";
import { moveSpot, player, spot, spotPlace } from "./spot.ts";

// What is chosen may be on its way still: the action itself looks again when its turn comes.
export const nothing = (): boolean => chosen.value.length === 0;
export const noSpot = (): boolean => spot.value === null;
export const nowhere = (): boolean => nothing() && noSpot();

/** Arrow keys: with a choice, it moves; else the spot. */
export const arrow = (by: number, unit: "beat" | "bar") => (): void => {
  if (!nothing()) {
    nudge("move", by, unit === "bar" ? "bar" : "step");
    return;
  }
  moveSpot(by, unit);
  const here = spot.value;
  if (here !== null) reveal(here.section, here.at);
};

function show(one: Lying | null): void {
  const state = opened.value;
  if (one === null || state === null) return;
  const index = state.routine.sections.findIndex(({ id }) => id === one.section);
  reveal(one.section, Math.max(0, one.from - (state.performance.sections[index]?.start ?? 0)));
  told.value = `${namesOf(state, [one])} is chosen.`;
}

export const next = (by: 1 | -1, also: boolean) => (): void =>
  show(chooseNext(by, also, spotPlace(opened.value) ?? 0));

/** The section of the choice, or of the spot. */
export function sectionHere() {
  const id = chosenNow.value.at(-1)?.section ?? spot.value?.section;
  const sections = opened.value?.routine.sections ?? [];
  return sections.find((section) => section.id === id) ?? sections[0] ?? null;
}

export function chooseSection(): void {
  const state = openedAhead.value;
  const section = sectionHere();
  if (state === null || section === null) return;
  chooseOnly(...[...lyingIn(state).values()].filter((one) => one.section === section.id));
}

export function moveSection(by: 1 | -1): void {
  const section = sectionHere();
  if (section !== null) shiftSection(section, by);
}

/** Whose hands are worked on, round and round; what is chosen is another's. */
export function goToPlayer(by: 1 | -1): void {
  chooseNone();
  player.value = ((player.value - 1 + by + MOST_PLAYERS) % MOST_PLAYERS) + 1;
  said.value = `What is put in is player ${player.value}’s.`;
}

/** They stand behind all rows in the page, and are reached without going through those. */
export function toPanel(): void {
  const first = document.querySelector<HTMLElement>(".panel button:not(.help-term), .panel input");
  first?.focus({ preventScroll: true });
}
