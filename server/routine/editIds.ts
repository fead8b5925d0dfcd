/** Another id for something: whatever refers to it follows, and nothing else is touched. */
import type { SingleEdit } from "../../schemas/edit.ts";
import { samplesOf } from "../../schemas/rig.ts";
import { isWords, type PatternPlacement, type Routine, type Section } from "../../schemas/routine.ts";
import { change, find, Refused } from "./editLists.ts";
import { called } from "./called.ts";

type Of<Kind extends SingleEdit["kind"]> = Extract<SingleEdit, { kind: Kind }>;
interface Done {
  readonly routine: Routine;
  readonly words: string;
}
interface HasId {
  readonly id: string;
}

/** @throws Refused */
function renamed<Item extends HasId>(
  list: readonly Item[],
  id: string,
  to: string,
  what: string,
): readonly Item[] {
  find(list, id, what);
  if (id === to) return list;
  if (list.some((one) => one.id === to))
    throw new Refused(`There is a ${what} "${to}" already. Give this one another id.`);
  return change(list, id, (one) => ({ ...one, id: to }), what);
}

/** Sections in which what plays a pattern is put otherwise. @param how the same placement where nothing changes */
const replayed = (
  sections: readonly Section[],
  how: (placement: PatternPlacement) => PatternPlacement,
): readonly Section[] =>
  sections.map((section) => {
    const placements = section.placements.map((one) => (isWords(one) ? one : how(one)));
    return placements.every((one, index) => one === section.placements[index])
      ? section
      : { ...section, placements };
  });

/** What sentences call them. */
const WORDS = { section: "section", pattern: "phrase", beat: "beat", sample: "sample" } as const;

/** @throws Refused */
export function changeId(routine: Routine, { of, id, to }: Of<"change-id">): Done {
  const { patterns, beats, sections, rig } = routine;
  const lists = { section: sections, pattern: patterns, beat: beats, sample: samplesOf(rig) };
  const words = `Gave ${called(find<HasId & { readonly name?: string | undefined }>(lists[of], id, WORDS[of]))} the id ${to}`;
  if (id === to) return { routine, words };
  switch (of) {
    case "section":
      return { routine: { ...routine, sections: renamed(sections, id, to, WORDS[of]) }, words };
    case "pattern":
      return {
        routine: {
          ...routine,
          patterns: renamed(patterns, id, to, WORDS[of]),
          sections: replayed(sections, (one) => (one.pattern === id ? { ...one, pattern: to } : one)),
        },
        words,
      };
    case "beat":
      return {
        routine: {
          ...routine,
          beats: renamed(beats, id, to, WORDS[of]),
          sections: sections.map((one) => (one.beat === id ? { ...one, beat: to } : one)),
        },
        words,
      };
    case "sample":
      return {
        routine: {
          ...routine,
          rig: { ...rig, samples: renamed(lists.sample, id, to, WORDS[of]) },
          sections: replayed(sections, (one) => (one.sample === id ? { ...one, sample: to } : one)),
        },
        words,
      };
  }
}

/** @throws Refused */
export function changeCueId(routine: Routine, edit: Of<"change-cue-id">): Done {
  const { id, to } = edit;
  const samples = samplesOf(routine.rig);
  const sample = find(samples, edit.sample, "sample");
  const cues = renamed(sample.cues ?? [], id, to, "cue");
  const words = `Called the cue ${id} of ${called(sample)} ${to}`;
  if (id === to) return { routine, words };
  const plays = (one: PatternPlacement): boolean => (one.sample ?? samples[0]?.id) === sample.id;
  return {
    routine: {
      ...routine,
      rig: { ...routine.rig, samples: change(samples, sample.id, (one) => ({ ...one, cues }), "sample") },
      sections: replayed(routine.sections, (one) =>
        one.recordAt === id && plays(one) ? { ...one, recordAt: to } : one,
      ),
    },
    words,
  };
}
