/** What mends of joins and of landings share: a change is an edit that is tried, and kept only if it helps. */
import { Edit, type SingleEdit } from "../../schemas/edit.ts";
import type { JoinFacts, Mend, MendKind, PlacementRef, SectionFacts } from "../../schemas/facts.ts";
import { fractionText } from "../../schemas/fraction.ts";
import type { Performance, PlacedEvent } from "../../schemas/performance.ts";
import type { Lasts, Pattern, PatternPlacement, Placement, Routine, Section } from "../../schemas/routine.ts";
import { UNITS_PER_QUARTER } from "../../schemas/units.ts";
import { checkRoutine } from "../routine/check.ts";
import { createCompiler } from "../routine/compile.ts";
import { applyEdit } from "../routine/edit.ts";
import { patternsOf } from "../routine/lookups.ts";
import { parseFraction, partOfWhole, unitsOf } from "../time/fraction.ts";
import { sectionFactsOf } from "./sectionFacts.ts";

/** A routine compiled, with what is worked out about its sections. */
export interface Worked {
  readonly routine: Routine;
  readonly performance: Performance;
  readonly sections: readonly SectionFacts[];
}

export interface Proposal {
  readonly kind: MendKind;
  readonly words: string;
  readonly edits: readonly SingleEdit[];
  /** Units of music moved, cut or added. */
  readonly size: number;
}

/** Tries edits on one routine; what they do not touch is compiled once. */
export interface Bench extends Worked {
  /** The routine with the edits, or null where they are beyond the bounds of the file or refused. Errors are looked for by `isClean` alone. */
  tryOut(edits: readonly SingleEdit[]): Worked | null;
  /** Whether a tried routine has no errors. */
  isClean(tried: Worked): boolean;
}

export function benchOf(routine: Routine): Bench {
  const compile = createCompiler();
  const work = (one: Routine): Worked => {
    const performance = compile(one);
    return { routine: one, performance, sections: sectionFactsOf(one, performance) };
  };
  return {
    ...work(routine),
    tryOut(edits) {
      const edit = editOf(edits);
      if (!Edit.safeParse(edit).success) return null;
      const applied = applyEdit(routine, edit);
      return "refused" in applied ? null : work(applied.routine);
    },
    isClean: (tried) => checkRoutine(tried.routine).length === 0,
  };
}

function editOf(edits: readonly SingleEdit[], words?: string): Edit {
  const [only, ...more] = edits as readonly [SingleEdit, ...SingleEdit[]];
  if (more.length === 0) return only;
  return { kind: "batch", edits, ...(words === undefined ? {} : { words: words.slice(0, 200) }) };
}

export const mendOf = ({ kind, words, edits, size }: Proposal, promises: Mend["promises"]): Mend => ({
  kind,
  words,
  edit: editOf(edits, words),
  promises,
  quarters: size / UNITS_PER_QUARTER,
});

/** A placement of a pattern, where it lies, and all that is needed to change it. */
export interface Here {
  readonly ref: PlacementRef;
  readonly section: Section;
  readonly placement: PatternPlacement;
  readonly pattern: Pattern;
  readonly placed: PlacedEvent;
  /** Units: of a bar of its section, of one step of its record hand (null where that is finer than the clock). */
  readonly bar: number;
  readonly step: number | null;
}

export function hereOf({ routine, performance }: Worked, ref: PlacementRef): Here | null {
  const index = routine.sections.findIndex(({ id }) => id === ref.section);
  const section = routine.sections[index];
  const placement = section?.placements[ref.placement];
  if (section === undefined || placement === undefined || !("pattern" in placement)) return null;
  const { placed, bar } = (performance.sections[index] as Performance["sections"][number]).performance;
  const found = placed.find((one) => one.placement === ref.placement);
  const pattern = patternsOf(routine).get(placement.pattern);
  if (found === undefined || pattern === undefined) return null;
  const step = unitsOf(parseFraction(pattern.record.step));
  return { ref, section, placement, pattern, placed: found, bar, step };
}

type Change = { readonly [Key in keyof PatternPlacement]?: PatternPlacement[Key] | undefined };

/** The edit that changes a placement; a field given as undefined goes. */
export function changed(...changes: readonly { readonly here: Here; readonly to: Change }[]): SingleEdit {
  return {
    kind: "change-placements",
    changes: changes.map(({ here, to }) => ({
      placement: { section: here.ref.section, index: here.ref.placement, expected: here.placement },
      to: withChange(here.placement, to),
    })),
  };
}

function withChange(placement: PatternPlacement, to: Change): Placement {
  const entries = Object.entries({ ...placement, ...to }).filter(([, value]) => value !== undefined);
  return Object.fromEntries(entries) as unknown as Placement;
}

/** Bar and position in the bar of a place, units from the section's start. */
export function barAndAt(
  position: number,
  bar: number,
): { readonly bar: number; readonly at?: string | undefined } {
  const index = Math.floor(position / bar);
  const inside = position - index * bar;
  return { bar: index + 1, at: inside === 0 ? undefined : fractionText(partOfWhole(inside)) };
}

export const steps = (count: number): Lasts => ({ steps: count });

/** Units that a placement lasts. */
export const durationOf = ({ placed }: Here): number => placed.end - placed.start;

const isRef = (a: PlacementRef, b: PlacementRef): boolean =>
  a.section === b.section && a.placement === b.placement;

/** The join that leads into a placement. */
export const joinInto = ({ sections }: Worked, to: PlacementRef): JoinFacts | undefined =>
  sections.find(({ id }) => id === to.section)?.joins.find((join) => isRef(join.to, to));

export const isBeyond = ({ verdict }: JoinFacts): boolean => verdict === "beyond your limits";

/** How many joins are beyond the user's limits. */
export const countBeyond = (sections: readonly SectionFacts[]): number =>
  sections.reduce((sum, { joins }) => sum + joins.filter(isBeyond).length, 0);

/** How many figures of placements are beyond the user's limits. */
export const countOver = (sections: readonly SectionFacts[]): number =>
  sections.reduce(
    (sum, { placements }) =>
      sum + placements.reduce((some, { hands }) => some + hands.filter(({ within }) => !within).length, 0),
    0,
  );

/** The smallest first; of equals the one that was proposed first. */
export const smallestFirst = (mends: readonly Mend[]): Mend[] =>
  [...mends].sort((a, b) => a.quarters - b.quarters);
