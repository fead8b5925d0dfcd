/** The placements that are chosen, one or several. The last one chosen is the one whose values are shown. */
import { computed, signal } from "@preact/signals";
import type { Opened } from "../state/opened.ts";
import { shown } from "../state/shown.ts";
import { openedAhead } from "./ahead.ts";
import { type Address, keyOfAddress, type Lying, lyingIn } from "./lying.ts";

export const chosen = signal<readonly Address[]>([]);

const keys = computed(() => new Set(chosen.value.map(keyOfAddress)));
export const isChosen = (section: string, index: number): boolean => keys.value.has(`${section}/${index}`);

const lookUp = (state: Opened | null): readonly Lying[] =>
  state === null
    ? []
    : chosen.value.flatMap((one) => {
        const lying = lyingIn(state).get(keyOfAddress(one));
        return lying === undefined ? [] : [lying];
      });

/** As gestures find them, in the order in which they were chosen; and as they are shown, with the draft over them. */
export const chosenNow = computed(() => lookUp(openedAhead.value));
export const chosenShown = computed(() => lookUp(shown.value));
export const lastChosen = computed((): Lying | null => chosenNow.value.at(-1) ?? null);

export const chooseNone = (): void => {
  chosen.value = [];
};
export const chooseOnly = (...these: readonly Address[]): void => {
  const before = chosen.peek();
  // What is chosen already stays as it is, so that nothing is drawn for it.
  const same = (one: Address, at: number): boolean => before[at] !== undefined && isSame(before[at], one);
  if (these.length === before.length && these.every(same)) return;
  chosen.value = these.map(({ section, index }) => ({ section, index }));
};
const isSame = (a: Address, b: Address): boolean => a.section === b.section && a.index === b.index;

/** In or out, the rest staying as it is. */
export function chooseAlso(one: Address): void {
  const without = chosen.value.filter((other) => keyOfAddress(other) !== keyOfAddress(one));
  chosen.value =
    without.length < chosen.value.length ? without : [...without, { section: one.section, index: one.index }];
}

/** Everything from the last one chosen up to this one, in the order of time. */
export function chooseUpTo(one: Address): void {
  const state = openedAhead.value;
  const last = lastChosen.value;
  if (state === null || last === null) {
    chooseOnly(one);
    return;
  }
  const order = [...lyingIn(state).values()];
  const at = (wanted: Address): number =>
    order.findIndex((other) => keyOfAddress(other) === keyOfAddress(wanted));
  const [first, end] = [at(last), at(one)].sort((a, b) => a - b) as [number, number];
  const between = order.slice(Math.max(0, first), end + 1);
  const rest = chosen.value.filter(
    (other) => !between.some((it) => keyOfAddress(it) === keyOfAddress(other)),
  );
  // The one that was pointed at comes last: its values are shown, and the next range starts from it.
  const ordered = at(one) < at(last) ? between.reverse() : between;
  chosen.value = [...rest, ...ordered.map(({ section, index }) => ({ section, index }))];
}

/** The next or the one before in time, alone or beside those that are chosen. @param near where nothing is chosen */
export function chooseNext(by: 1 | -1, also: boolean, near: number): Lying | null {
  const state = openedAhead.value;
  if (state === null) return null;
  const order = [...lyingIn(state).values()];
  const last = lastChosen.value;
  const at = last === null ? -1 : order.findIndex((one) => keyOfAddress(one) === keyOfAddress(last));
  const next =
    at >= 0
      ? order[at + by]
      : by === 1
        ? (order.find(({ from }) => from >= near) ?? order[0])
        : (order.findLast(({ from }) => from <= near) ?? order.at(-1));
  if (next === undefined) return null;
  if (also) chosen.value = [...chosen.value, { section: next.section, index: next.index }];
  else chooseOnly(next);
  return next;
}
