/**
 * Applies an edit to a routine. Pure: the routine is an immutable value, the result shares what was not touched, so
 * that whatever is remembered by identity (compile, facts) stays. To undo, keep the earlier value, or the patch back
 * to it (schemas/patch.ts).
 *
 * An edit that is applied may leave problems of placements among each other behind, see `bringsFault` for those it
 * may not.
 */
import type { Edit, SingleEdit } from "../../schemas/edit.ts";
import { applyPatch, type Patch } from "../../schemas/patch.ts";
import type { Problem, ProblemCode } from "../../schemas/problem.ts";
import { isWords, MOST_SECTIONS, type Placement, type Routine, type Section } from "../../schemas/routine.ts";
import { changeCueId, changeId } from "./editIds.ts";
import { assign, change, find, insert, move, Refused, without } from "./editLists.ts";
import { addPlacements, changePlacements, removePlacements } from "./editPlacements.ts";
import { called } from "./called.ts";
import { beatWords, patternWords, rigWords, sectionWords } from "./editWords.ts";

export interface Applied {
  /** The same object where the edit changes nothing. */
  readonly routine: Routine;
  /** "Moved Swell in Ring Road to bar 3". */
  readonly words: string;
}
/** Nothing was done; a sentence that says why, and what to do. */
export interface NotApplied {
  readonly refused: string;
}

export function applyEdit(routine: Routine, edit: Edit): Applied | NotApplied {
  try {
    return edit.kind === "batch" ? applyBatch(routine, edit) : applySingle(routine, edit);
  } catch (error) {
    if (error instanceof Refused) return { refused: error.message };
    throw error;
  }
}

function applyBatch(routine: Routine, { edits, words }: Extract<Edit, { kind: "batch" }>): Applied {
  let result = routine;
  const said: string[] = [];
  for (const edit of edits) {
    const applied = applySingle(result, edit);
    result = applied.routine;
    said.push(applied.words);
  }
  const more = said.length - 1;
  return { routine: result, words: words ?? (more === 0 ? `${said[0]}` : `${said[0]}, and ${more} more`) };
}

const listOf = (
  routine: Routine,
  list: "sections" | "patterns" | "beats",
  items: readonly unknown[],
): Routine => (items === routine[list] ? routine : { ...routine, [list]: items });

/** @throws Refused */
function applySingle(routine: Routine, edit: SingleEdit): Applied {
  const { sections, patterns, beats } = routine;
  switch (edit.kind) {
    case "title":
      return {
        routine: edit.title === routine.title ? routine : { ...routine, title: edit.title },
        words: `Called the routine ${edit.title}`,
      };
    case "time-limit":
      return {
        routine: assign(routine, { timeLimit: edit.seconds }),
        words:
          edit.seconds === null ? "Took the time limit off" : `Set the time limit to ${edit.seconds} seconds`,
      };
    case "change-rig": {
      const rig = assign(routine.rig ?? {}, edit.set);
      const empty = Object.keys(rig).length === 0;
      return { routine: assign(routine, { rig: empty ? null : rig }), words: rigWords(edit.set) };
    }

    case "add-section":
      if (sections.length >= MOST_SECTIONS) {
        throw new Refused(`A routine has at most ${MOST_SECTIONS} sections. Join two of them first.`);
      }
      return {
        routine: listOf(routine, "sections", insert(sections, edit.section, edit.before, "section")),
        words: `Added the section ${called(edit.section)}`,
      };
    case "remove-section": {
      const section = find(sections, edit.id, "section");
      if (sections.length === 1) {
        throw new Refused(`${called(section)} is the only section. Add another before you remove it.`);
      }
      return {
        routine: listOf(routine, "sections", without(sections, edit.id)),
        words: `Removed the section ${called(section)}`,
      };
    }
    case "move-section": {
      const before = edit.before === null ? null : find(sections, edit.before, "section");
      const name = called(find(sections, edit.id, "section"));
      return {
        routine: listOf(routine, "sections", move(sections, edit.id, edit.before, "section")),
        words: before === null ? `Moved ${name} to the end` : `Moved ${name} before ${called(before)}`,
      };
    }
    case "change-section": {
      const section = find(sections, edit.id, "section");
      const changed = change(sections, edit.id, (one) => assign(one, edit.set), "section");
      return { routine: listOf(routine, "sections", changed), words: sectionWords(section, edit.set) };
    }

    case "add-placements":
      return addPlacements(routine, edit);
    case "change-placements":
      return changePlacements(routine, edit);
    case "remove-placements":
      return removePlacements(routine, edit);

    case "add-pattern":
      return {
        routine: listOf(routine, "patterns", insert(patterns, edit.pattern, edit.before ?? null, "phrase")),
        words: `Added the phrase ${called(edit.pattern)}`,
      };
    case "move-pattern":
      return {
        routine: listOf(routine, "patterns", move(patterns, edit.id, edit.before, "phrase")),
        words: `Moved ${called(find(patterns, edit.id, "phrase"))} among the phrases`,
      };
    case "change-pattern": {
      const pattern = find(patterns, edit.id, "phrase");
      const changed = change(patterns, edit.id, (one) => assign(one, edit.set), "phrase");
      return { routine: listOf(routine, "patterns", changed), words: patternWords(pattern, edit.set) };
    }
    case "remove-pattern": {
      const pattern = find(patterns, edit.id, "phrase");
      const plays = (placement: Placement): boolean => !isWords(placement) && placement.pattern === edit.id;
      const using = sections.filter(({ placements }) => placements.some(plays));
      if (using.length > 0 && !edit.withPlacements) {
        throw new Refused(
          `${called(pattern)} is played in ${called(using[0] as Section)}. Remove it there first, or remove both together.`,
        );
      }
      const left = sections.map((section) =>
        section.placements.some(plays)
          ? { ...section, placements: section.placements.filter((placement) => !plays(placement)) }
          : section,
      );
      return {
        routine: {
          ...routine,
          patterns: without(patterns, edit.id),
          sections: using.length > 0 ? left : sections,
        },
        words: `Removed the phrase ${called(pattern)}`,
      };
    }

    case "add-beat":
      return {
        routine: listOf(routine, "beats", insert(beats, edit.beat, edit.before ?? null, "beat")),
        words: `Added the beat ${called(edit.beat)}`,
      };
    case "move-beat":
      return {
        routine: listOf(routine, "beats", move(beats, edit.id, edit.before, "beat")),
        words: `Moved ${called(find(beats, edit.id, "beat"))} among the beats`,
      };
    case "change-beat": {
      const beat = find(beats, edit.id, "beat");
      const changed = change(beats, edit.id, (one) => assign(one, edit.set), "beat");
      return { routine: listOf(routine, "beats", changed), words: beatWords(beat, edit.set) };
    }
    case "remove-beat": {
      const beat = find(beats, edit.id, "beat");
      const using = sections.filter((section) => section.beat === edit.id);
      if (using.length > 0 && !edit.fromSections) {
        throw new Refused(
          `The beat ${called(beat)} plays in ${called(using[0] as Section)}. Choose another there first, or remove it from there too.`,
        );
      }
      const left = sections.map((section) =>
        section.beat === edit.id
          ? assign(section, { beat: null, beatContinues: null, beatRests: null })
          : section,
      );
      return {
        routine: { ...routine, beats: without(beats, edit.id), sections: using.length > 0 ? left : sections },
        words: `Removed the beat ${called(beat)}`,
      };
    }

    case "change-id":
      return changeId(routine, edit);
    case "change-cue-id":
      return changeCueId(routine, edit);

    case "set-mappings": {
      const [used] = edit.mappings ?? [];
      return {
        routine: assign(routine, { mappings: edit.mappings }),
        words: `Changed how MIDI is written${used === undefined ? "" : `: ${called(used)}`}`,
      };
    }

    case "replace-routine":
      return { routine: edit.routine, words: `Replaced the routine by ${edit.routine.title || "another"}` };
    case "patch":
      return { routine: patched(routine, edit.patch), words: "Changed the routine" };
  }
}

function patched(routine: Routine, patch: Patch): Routine {
  let result: Routine;
  try {
    result = applyPatch(routine, patch);
  } catch {
    throw new Refused("These changes belong to another routine. Load the page again.");
  }
  const { length } = result.sections;
  if (length < 1 || length > MOST_SECTIONS) {
    throw new Refused(`A routine has 1 to ${MOST_SECTIONS} sections, not ${length}.`);
  }
  return result;
}

/**
 * Errors that an edit may leave behind, for they are about how placements lie: the user is in the middle of moving
 * things, and what they concern is left out of what is heard. Everything else is a value that cannot be.
 */
const MAY_STAY: ReadonlySet<ProblemCode> = new Set<ProblemCode>([
  "past-section-end",
  "two-phrases",
  "nothing-to-carry-on",
  "start-outside-cycle",
  "unknown-sample",
  "unknown-cue",
]);
const PLACED = /^\/sections\/\d+\/placements\/\d+(\/|$)/;

/** The first error of `after` that an edit must not bring and `before` does not have. */
export function bringsFault(before: readonly Problem[], after: readonly Problem[]): Problem | undefined {
  const had = new Set(before.map(({ message }) => message));
  return after.find(
    ({ code, place, message, severity }) =>
      severity === "error" &&
      !MAY_STAY.has(code) &&
      !(code === "out-of-range" && PLACED.test(place)) &&
      !had.has(message),
  );
}
