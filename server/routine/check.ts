/**
 * What the parts of a routine say about each other: references, the clock, overlaps. A file whose shape is wrong in
 * one part is still checked in all the others, so that all its problems are told at once.
 */
import type { Problem } from "../../schemas/problem.ts";
import type { Beat, Pattern, Placement, Rig, Routine, Section } from "../../schemas/routine.ts";
import { beatProblems } from "./checkBeat.ts";
import { patternProblems } from "./checkPattern.ts";
import { checkDrums } from "./checkDrums.ts";
import { checkPlaces } from "./checkPlaces.ts";
import { sectionProblems } from "./checkSection.ts";
import { pointer, problem } from "./catalogue.ts";
import { at, remembered, rememberedWith } from "./finding.ts";
import { NAMELESS, type Readable } from "./readable.ts";
import { Memory } from "../../schemas/memory.ts";

/**
 * A part of the file as the checks see it: the value, or null where its shape is wrong; its id also then, so that
 * what refers to it is not blamed.
 */
export interface Part<Value> {
  readonly value: Value | null;
  readonly id: string | undefined;
}

export interface SectionPart extends Part<Section> {
  /** Each null where its shape is wrong, also where the section's own shape is. */
  readonly placements: readonly (Placement | null)[];
}

/** null for a list whose own shape is wrong: nothing that refers to it is checked. */
export interface Parts {
  /** The whole, where its shape is right in every part: what is found can then be remembered by identity. */
  readonly routine: Routine | null;
  readonly rig: Rig | undefined | null;
  readonly patterns: readonly Part<Pattern>[] | null;
  readonly beats: readonly Part<Beat>[] | null;
  readonly sections: readonly SectionPart[] | null;
  readonly mappings: readonly Part<Mapping>[] | null;
  /** Patterns, sections and placements whose length or place is not known. */
  readonly unsure: ReadonlySet<object>;
}

type Mapping = NonNullable<Routine["mappings"]>[number];

const partOf = <Value extends { readonly id: string }>(value: Value): Part<Value> => ({
  value,
  id: value.id,
});

const lists = new Memory<readonly object[], readonly Part<never>[]>();

/** The same list of parts for the same list: what is found in it is found once. */
function partsIn<Value extends { readonly id: string }>(list: readonly Value[]): readonly Part<Value>[] {
  let parts = lists.get(list) as readonly Part<Value>[] | undefined;
  if (parts === undefined) {
    parts = list.map(partOf);
    lists.set(list, parts as readonly Part<never>[]);
  }
  return parts;
}

/** A routine whose shape is right everywhere. */
const soundParts = (routine: Routine): Parts => ({
  routine,
  rig: routine.rig,
  patterns: partsIn(routine.patterns),
  beats: partsIn(routine.beats),
  sections: routine.sections.map((value) => ({ value, id: value.id, placements: value.placements })),
  mappings: routine.mappings === undefined ? null : partsIn(routine.mappings),
  unsure: NOTHING,
});
const NOTHING: ReadonlySet<object> = new Set();

/** Splits a file into parts, some of them wrong. */
function partsOf({ file: raw, bad, unsure }: Readable): Parts {
  const wrong = new Set(bad.map((path) => path.join("/")));
  const within = new Set(bad.flatMap((path) => path.map((_, end) => path.slice(0, end + 1).join("/"))));
  const file = raw as Record<string, unknown>;
  const list = <Value>(name: string): Part<Value>[] | null =>
    wrong.has(name) || !Array.isArray(file[name])
      ? null
      : file[name].map((value, index) => ({
          value: within.has(`${name}/${index}`) ? null : (value as Value),
          id: typeof value?.id === "string" && value.id !== NAMELESS ? value.id : undefined,
        }));
  const sections = list<Section>("sections");
  return {
    routine: null,
    unsure,
    rig: within.has("rig") ? null : (file.rig as Rig | undefined),
    patterns: list("patterns"),
    beats: list("beats"),
    mappings: list("mappings"),
    sections:
      sections === null
        ? null
        : sections.map((part, index) => {
            const { placements } = ((file.sections as unknown[])[index] ?? {}) as { placements?: unknown };
            const base = `sections/${index}/placements`;
            const all = Array.isArray(placements) && !wrong.has(base) ? (placements as Placement[]) : [];
            const kept = all.map((value, at) => (within.has(`${base}/${at}`) ? null : value));
            // A section is itself only wrong where something other than its placements is.
            const own = bad.some(
              (path) =>
                path[0] === "sections" && path[1] === index && !(path[2] === "placements" && path.length > 3),
            );
            return {
              id: part.id,
              value: own ? null : ((file.sections as unknown[])[index] as Section),
              placements: kept,
            };
          }),
  };
}

function duplicates(
  list: readonly { readonly id?: string | undefined }[],
  place: string,
  what: string,
): Problem[] {
  const seen = new Set<string>();
  return list.flatMap(({ id }, index) => {
    if (id === undefined) return [];
    if (!seen.has(id)) {
      seen.add(id);
      return [];
    }
    return [
      problem(
        "duplicate-id",
        `${place}/${index}/id`,
        `Two ${what} have the id "${id}". Give one of them another.`,
      ),
    ];
  });
}

const rigProblems = remembered(({ samples = [] }: Rig) => [
  ...duplicates(samples, "/rig/samples", "samples"),
  ...samples.flatMap(({ cues = [] }, index) =>
    duplicates(cues, pointer("rig", "samples", index, "cues"), "cues of one sample"),
  ),
]);

const allPatternProblems = remembered((patterns: readonly Part<Pattern>[]) => [
  ...duplicates(patterns, "/patterns", "patterns"),
  ...patterns.flatMap(({ value }, index) =>
    value === null ? [] : at(["patterns", index], patternProblems(value)),
  ),
]);

const allBeatProblems = remembered((beats: readonly Part<Beat>[]) => [
  ...duplicates(beats, "/beats", "beats"),
  ...beats.flatMap(({ value }, index) => (value === null ? [] : at(["beats", index], beatProblems(value)))),
]);

const allMappingProblems = remembered((mappings: readonly Part<Mapping>[]) =>
  duplicates(mappings, "/mappings", "mappings"),
);

/** What the parts of a file say about each other whose shape is wrong in places. */
export const checkReadable = (file: Readable): Problem[] => checkParts(partsOf(file));

function checkParts(parts: Parts): Problem[] {
  const { rig, patterns, beats, mappings, sections } = parts;
  const drums = checkDrums(parts);
  return [
    ...(rig == null ? [] : rigProblems(rig)),
    ...(patterns === null ? [] : allPatternProblems(patterns)),
    ...(beats === null ? [] : allBeatProblems(beats)),
    ...(mappings === null ? [] : allMappingProblems(mappings)),
    ...duplicates(sections ?? [], "/sections", "sections"),
    ...(sections ?? []).flatMap((_, index) => at(["sections", index], sectionProblems(parts, index))),
    ...drums.problems,
    ...checkPlaces(parts, drums.room),
  ];
}

const inRoutine = rememberedWith<Routine["sections"]>();

/** The errors of a routine whose shape is right; none where it can be compiled. The same list for the same parts. */
export function checkRoutine(routine: Routine): readonly Problem[] {
  const { rig, patterns, beats, mappings, sections } = routine;
  return inRoutine(sections, [rig, patterns, beats, mappings], () => checkParts(soundParts(routine)));
}
