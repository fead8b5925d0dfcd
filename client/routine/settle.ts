/**
 * The end of a gesture: one edit. Where it makes two phrases for one pair of hands, it stays a draft until the user
 * has said which of them is to be shorter, so that no overlap has to be undone or stands in the way of hearing.
 */
import type { SingleEdit } from "../../schemas/edit.ts";
import { hearDraft } from "../audio/transport.ts";
import { type Choice, question } from "../state/question.ts";
import { placementName } from "../rows/SectionRows.tsx";
import type { Opened } from "../state/opened.ts";
import { change } from "../state/change.ts";
import { draft, keepDraft, noDraft } from "../state/draft.ts";
import { openedAhead } from "./ahead.ts";
import {
  addressed,
  addressesAfter,
  type Change,
  changesEdit,
  makeRoom,
  type Meeting,
  meetings,
  together,
} from "./changes.ts";
import { chooseOnly, chosenNow } from "./chosen.ts";
import { type Address, keyOfAddress, type Lying } from "./lying.ts";
import { untilNext } from "./moving.ts";

export function nameOf(state: Opened, { section, index }: Address): string {
  const owner = state.routine.sections.findIndex(({ id }) => id === section);
  return placementName(state.routine, owner, index);
}

/** "Wake", or "Wake and 2 more". */
export function namesOf(state: Opened, these: readonly Address[]): string {
  const [first, ...rest] = these;
  if (first === undefined) return "nothing";
  return rest.length === 0 ? nameOf(state, first) : `${nameOf(state, first)} and ${rest.length} more`;
}

/** What making room does to a neighbour, as a button says it. */
function roomWords(state: Opened, { moved, other }: Meeting, name: string): string {
  const neighbour = nameOf(state, other);
  if (other.from < moved.from) return `Shorten ${neighbour} to end where ${name} starts`;
  return other.to > moved.until
    ? `Shorten ${neighbour} to start where ${name} ends`
    : `Take ${neighbour} out: ${name} covers it`;
}

interface Wish {
  readonly edits: readonly SingleEdit[];
  /** What lies anew where: looked at for whom it runs into. */
  readonly these: readonly { readonly from: number; readonly until: number; readonly player: number }[];
  readonly changed: ReadonlySet<string>;
  readonly name: string;
  readonly words: string;
  /** Another way out, in place of making the neighbour shorter. */
  readonly other?: { readonly label: string; readonly edits: readonly SingleEdit[] } | undefined;
  /** After it was kept, whichever way. */
  readonly done: () => void;
}

function keepOrAsk(state: Opened, wish: Wish): void {
  const { edits, words, name, other } = wish;
  const met = meetings(state, wish.these, wish.changed);
  const keep = (all: readonly SingleEdit[], said: string): void => {
    keepDraft(together(all, said), said);
    hearDraft(null);
    wish.done();
  };
  const [first] = met;
  question.value = null;
  if (first === undefined) {
    keep(edits, words);
    return;
  }
  draft(together(edits, words));
  const neighbours = namesOf(
    state,
    met.map((one) => one.other),
  );
  const choices: Choice[] = [
    {
      label:
        met.length === 1
          ? roomWords(state, first, wish.these.length === 1 ? name : "what was moved")
          : `Make room: shorten ${neighbours}`,
      act: () => keep([...edits, ...met.map(makeRoom)], `${words}, and make room`),
    },
    ...(other === undefined ? [] : [{ label: other.label, act: () => keep(other.edits, words) }]),
    {
      label: "Put it back",
      act: () => {
        noDraft();
        hearDraft(null);
      },
    },
    { label: "Leave both", act: () => keep(edits, words) },
  ];
  question.value = {
    text: `${name} now runs into ${neighbours}: two phrases for one pair of hands.`,
    choices,
    leave: 2 - (other === undefined ? 1 : 0),
  };
}

/** What was moved or changed is kept, and stays chosen. */
export function settle(changes: readonly Change[], words: string): void {
  const state = openedAhead.value;
  const [first] = changes;
  if (state === null || first === undefined) return;
  const these = changes.map(({ from, until, to }) => ({ from, until, player: to.player ?? 1 }));
  const changed = new Set(changes.map(({ one }) => keyOfAddress(one)));
  const met = meetings(state, these, changed)[0];
  const name = nameOf(state, first.one);
  const wasChosen = chosenNow.value.length > 0;
  keepOrAsk(state, {
    edits: [changesEdit(changes)],
    these,
    changed,
    name: namesOf(
      state,
      changes.map(({ one }) => one),
    ),
    words,
    other:
      met !== undefined && changes.length === 1 && first.from < met.other.from
        ? {
            label: `End ${name} where ${nameOf(state, met.other)} starts`,
            edits: [changesEdit([{ ...first, to: untilNext(first.to) }])],
          }
        : undefined,
    done: () => {
      if (wasChosen) chooseOnly(...addressesAfter(state, changes));
    },
  });
}

/** What is put in new. @param added by section; @param these where it lies */
export function putIn(
  added: readonly Extract<SingleEdit, { kind: "add-placements" }>[],
  these: Wish["these"],
  words: string,
  done: (addresses: readonly Address[]) => void,
): void {
  const state = openedAhead.value;
  if (state === null || added.length === 0) return;
  const addresses = added.flatMap(({ section, placements }) => {
    const size = state.routine.sections.find(({ id }) => id === section)?.placements.length ?? 0;
    return placements.map((_, index) => ({ section, index: size + index }));
  });
  const [one] = added.flatMap(({ placements }) => placements);
  const name =
    one === undefined
      ? ""
      : "words" in one
        ? one.words
        : (state.routine.patterns.find(({ id }) => id === one.pattern)?.name ?? one.pattern);
  keepOrAsk(state, { edits: added, these, changed: new Set(), name, words, done: () => done(addresses) });
}

export function remove(these: readonly Lying[]): void {
  const state = openedAhead.value;
  if (state === null || these.length === 0) return;
  change({ kind: "remove-placements", placements: these.map(addressed) }, `Remove ${namesOf(state, these)}`);
  chooseOnly();
}
