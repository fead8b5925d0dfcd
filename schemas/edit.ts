/**
 * Edits of a routine as plain data. A client sends them, the server checks and applies them
 * (server/routine/edit.ts), the journal keeps them, a draft is one that is not kept.
 *
 * How things are addressed. Sections, patterns and beats by their id, which only `change-id` changes. A placement
 * has no id in the file, so it is addressed by its section's id, its index in that section's list, AND the value
 * that is expected there: where another value stands, the edit is refused and nothing is changed. All addresses in
 * one edit are meant before any part of it is done; in a batch, each edit sees what those before it did.
 *
 * `null` in a `set` takes a field out of the file (back to its default); a field that is not in `set` stays as it is.
 *
 * An edit that is applied may leave problems behind (two phrases at once, say): they are shown at their place and
 * the rest is still heard. What is refused: wrong shapes, addresses that are not there, ids that are taken, more
 * than the bounds of the file allow.
 */
import { z } from "zod";
import type { Immutable } from "./routine.ts";
import { Mappings } from "./mapping.ts";
import { Patch } from "./patch.ts";
import {
  Beat,
  FaderCycle,
  Id,
  Name,
  Pattern,
  Placement,
  RecordCycle,
  RecordedBeat,
  Rig,
  Routine,
  Section,
} from "./routine.ts";

/** One placement, and what the sender believes to stand there. */
export const PlacementAddress = z.strictObject({
  section: Id,
  index: z.int().min(0),
  expected: Placement,
});

/** Before which item of the list; null: at the end. */
const before = Id.nullable();
const several = <Item extends z.ZodType>(item: Item) => z.array(item).min(1).max(10_000);

export const SetRig = z.strictObject({
  platter: Rig.shape.platter.unwrap().nullable().optional(),
  recordHand: Rig.shape.recordHand.unwrap().nullable().optional(),
  turntable: Rig.shape.turntable.unwrap().nullable().optional(),
  reversedFader: Rig.shape.reversedFader.unwrap().nullable().optional(),
  samples: Rig.shape.samples.unwrap().nullable().optional(),
  limits: Rig.shape.limits.unwrap().nullable().optional(),
});
export const SetSection = z.strictObject({
  name: Name.nullable().optional(),
  bars: Section.shape.bars.optional(),
  meter: Section.shape.meter.optional(),
  tempo: Section.shape.tempo.optional(),
  beat: Id.nullable().optional(),
  swing: Section.shape.swing.unwrap().nullable().optional(),
  pitch: Section.shape.pitch.unwrap().nullable().optional(),
  beatContinues: z.boolean().nullable().optional(),
  beatRests: Section.shape.beatRests.unwrap().nullable().optional(),
});
export const SetPattern = z.strictObject({
  name: Name.nullable().optional(),
  record: RecordCycle.optional(),
  fader: FaderCycle.optional(),
});
export const SetBeat = z.strictObject({
  name: Name.nullable().optional(),
  step: Beat.shape.step.optional(),
  steps: Beat.shape.steps.optional(),
  hits: Beat.shape.hits.optional(),
  recorded: RecordedBeat.nullable().optional(),
});

const single = [
  z.strictObject({ kind: z.literal("title"), title: Name }),
  /** Seconds; null: none. */
  z.strictObject({
    kind: z.literal("time-limit"),
    seconds: Routine.shape.timeLimit.unwrap().nullable(),
  }),
  z.strictObject({ kind: z.literal("change-rig"), set: SetRig }),

  z.strictObject({ kind: z.literal("add-section"), section: Section, before }),
  z.strictObject({ kind: z.literal("remove-section"), id: Id }),
  z.strictObject({ kind: z.literal("move-section"), id: Id, before }),
  z.strictObject({ kind: z.literal("change-section"), id: Id, set: SetSection }),

  /** At the end of the section's list, so that no other placement's index changes. */
  z.strictObject({ kind: z.literal("add-placements"), section: Id, placements: several(Placement) }),
  /**
   * Moved, stretched, or otherwise changed: each becomes `to`, at the same index; with `into` it leaves its section
   * and goes to the end of that one's list.
   */
  z.strictObject({
    kind: z.literal("change-placements"),
    changes: several(z.strictObject({ placement: PlacementAddress, to: Placement, into: Id.optional() })),
  }),
  z.strictObject({ kind: z.literal("remove-placements"), placements: several(PlacementAddress) }),

  z.strictObject({ kind: z.literal("add-pattern"), pattern: Pattern, before: before.optional() }),
  z.strictObject({ kind: z.literal("move-pattern"), id: Id, before }),
  /** Its name, or a whole cycle. */
  z.strictObject({ kind: z.literal("change-pattern"), id: Id, set: SetPattern }),
  /** `withPlacements`: those that play it go too; without it, a pattern that is played is not removed. */
  z.strictObject({ kind: z.literal("remove-pattern"), id: Id, withPlacements: z.boolean() }),

  z.strictObject({ kind: z.literal("add-beat"), beat: Beat, before: before.optional() }),
  z.strictObject({ kind: z.literal("move-beat"), id: Id, before }),
  z.strictObject({ kind: z.literal("change-beat"), id: Id, set: SetBeat }),
  /** `fromSections`: those that have it become without a beat; without it, a beat that is used is not removed. */
  z.strictObject({ kind: z.literal("remove-beat"), id: Id, fromSections: z.boolean() }),

  /** Another id, which none of its kind may have; whatever refers to it follows. */
  z.strictObject({
    kind: z.literal("change-id"),
    of: z.enum(["section", "pattern", "beat", "sample"]),
    id: Id,
    to: Id,
  }),
  /** The same for a named cue of a sample. */
  z.strictObject({ kind: z.literal("change-cue-id"), sample: Id, id: Id, to: Id }),

  /** All mappings of the routine, the one in use first; null: none of its own. */
  z.strictObject({ kind: z.literal("set-mappings"), mappings: Mappings.min(1).nullable() }),

  /** Everything at once: an import, a moment of the past. */
  z.strictObject({ kind: z.literal("replace-routine"), routine: Routine }),
  /** What changed between two moments: undo and redo stand so in the journal. */
  z.strictObject({ kind: z.literal("patch"), patch: Patch }),
] as const;

/** One edit that is no batch. */
export const SingleEdit = z.discriminatedUnion("kind", single);

/** One gesture is one undo step: all of these, or none. */
const Batch = z.strictObject({
  kind: z.literal("batch"),
  /** For the history: "Landed Swell in Ring Road". Left out, the words of the first, and how many more. */
  words: z.string().min(1).max(200).optional(),
  edits: several(SingleEdit),
});

export const Edit = z.discriminatedUnion("kind", [...single, Batch]);

export type PlacementAddress = Immutable<z.infer<typeof PlacementAddress>>;
export type SetRig = Immutable<z.infer<typeof SetRig>>;
export type SetSection = Immutable<z.infer<typeof SetSection>>;
export type SetPattern = Immutable<z.infer<typeof SetPattern>>;
export type SetBeat = Immutable<z.infer<typeof SetBeat>>;
export type SingleEdit = Immutable<z.infer<typeof SingleEdit>>;
export type Edit = Immutable<z.infer<typeof Edit>>;
