/** Edits of placements: found by section, index and what is expected there. */
import { isDeepStrictEqual } from "node:util";
import type { PlacementAddress, SingleEdit } from "../../schemas/edit.ts";
import { MOST_PLACEMENTS, type Placement, type Routine, type Section } from "../../schemas/routine.ts";
import { change, find, Refused } from "./editLists.ts";
import { barWords, called } from "./called.ts";
import { type Changed, changedWords, placementsWords, playedName } from "./editWords.ts";

type Of<Kind extends SingleEdit["kind"]> = Extract<SingleEdit, { kind: Kind }>;
interface Done {
  readonly routine: Routine;
  readonly words: string;
}

function lookUp(routine: Routine, { section: id, index, expected }: PlacementAddress) {
  const section = find(routine.sections, id, "section");
  const placement = section.placements[index];
  if (placement === undefined || !isDeepStrictEqual(placement, expected)) {
    const name = playedName(routine, expected);
    throw new Refused(
      `${called(section)}, ${barWords(expected.bar)}: ${name} was changed or removed meanwhile. Look at it and try again.`,
    );
  }
  return { section, placement };
}

/** Each address at most once. */
function once(addresses: readonly PlacementAddress[]): void {
  const seen = new Set(addresses.map(({ section, index }) => `${section} ${index}`));
  if (seen.size < addresses.length)
    throw new Refused("One phrase is named twice in one edit. Name it only once.");
}

const inSection = (
  routine: Routine,
  id: string,
  how: (list: readonly Placement[]) => readonly Placement[],
) => ({
  ...routine,
  sections: change(
    routine.sections,
    id,
    (section) => ({ ...section, placements: how(section.placements) }),
    "section",
  ),
});

export function addPlacements(routine: Routine, { section: id, placements }: Of<"add-placements">): Done {
  const section = find(routine.sections, id, "section");
  const held = routine.sections.reduce((sum, one) => sum + one.placements.length, 0);
  if (held + placements.length > MOST_PLACEMENTS) {
    throw new Refused(
      `A routine holds at most ${MOST_PLACEMENTS.toLocaleString("en")} placements. Split it.`,
    );
  }
  return {
    routine: inSection(routine, id, (list) => [...list, ...placements]),
    words: placementsWords(
      "Added",
      routine,
      placements,
      placements.map(() => section),
    ),
  };
}

export function changePlacements(routine: Routine, { changes }: Of<"change-placements">): Done {
  once(changes.map(({ placement }) => placement));
  const replaced = new Map<Section, Map<number, Placement | null>>();
  const arriving = new Map<Section, Placement[]>();
  const done = changes.map(({ placement: address, to, into }): Changed => {
    const { section, placement } = lookUp(routine, address);
    const target = into === undefined ? section : find(routine.sections, into, "section");
    const here = replaced.get(section) ?? new Map<number, Placement | null>();
    replaced.set(section, here);
    here.set(address.index, target === section ? (isDeepStrictEqual(placement, to) ? placement : to) : null);
    if (target !== section) arriving.set(target, [...(arriving.get(target) ?? []), to]);
    return { from: placement, to, section, into: target };
  });
  const sections = routine.sections.map((section) => {
    const here = replaced.get(section);
    const coming = arriving.get(section) ?? [];
    const placements = section.placements.flatMap((one, index) => {
      const now = here?.get(index);
      return now === undefined ? [one] : now === null ? [] : [now];
    });
    placements.push(...coming);
    const untouched =
      placements.length === section.placements.length &&
      placements.every((one, index) => one === section.placements[index]);
    return untouched ? section : { ...section, placements };
  });
  const untouched = sections.every((section, index) => section === routine.sections[index]);
  return { routine: untouched ? routine : { ...routine, sections }, words: changedWords(routine, done) };
}

export function removePlacements(routine: Routine, { placements }: Of<"remove-placements">): Done {
  once(placements);
  const found = placements.map((address) => lookUp(routine, address));
  const gone = new Map<string, Set<number>>();
  for (const { section, index } of placements) gone.set(section, (gone.get(section) ?? new Set()).add(index));
  let result = routine;
  for (const [id, indices] of gone) {
    result = inSection(result, id, (list) => list.filter((_, index) => !indices.has(index)));
  }
  return {
    routine: result,
    words: placementsWords(
      "Removed",
      routine,
      found.map(({ placement }) => placement),
      found.map(({ section }) => section),
    ),
  };
}
