/**
 * Every message between page and server on the socket `/live`, as JSON text. Each has a `type`; both sides parse
 * what arrives. Sound has a socket of its own: soundWire.ts. Files (clips, sound, uploads) go by HTTP.
 *
 * The course of things. The page says `hello` (its first message, within two seconds) and gets `welcome`. It opens
 * a routine by name and gets `routine`: all of it. From then on each edit of any page comes as `changed`, in order.
 *
 * Revisions. The server owns the routine and its revision. An `edit` names the revision it was made on (`base`): it
 * is acknowledged (`ack`) once it is safe on disk, or answered `stale` with nothing applied, or `refused`. It is stale
 * where edits that came since its base touched what it touches (the same section, the same phrase, the order of a list,
 * a field of the routine), or where it cannot be made any more; what meets none of them is made on the newest revision,
 * and those others come as `changed` before its `ack`. `undo`, `redo` and `restore` are stale on any older base, since
 * their line is shared. After `stale` the page makes its edit again on what came between, as `replayed`: that one is
 * applied to the newest revision where what it expects still stands there, and refused where not, so that no page is
 * turned away for ever. The `changed` that it led to arrives before its `ack`. A page sends an edit again, with the same
 * `opId`, when its connection was lost before an answer came: it gets the same answer, and nothing is done twice.
 *
 * Long routines. `routine` brings the performance and facts of the first sections only, so that a picture stands
 * soon; the rest follows as `sections`, in order, each of the revision that was told last. A routine that is changed
 * before any came is told anew.
 *
 * Coming back. `open` with what the page still has (`have`) is answered by `changed` from that revision, or by
 * `routine` where that is not possible. A page that is slow gets several edits as one `changed`: always look at
 * `from`, never add one to a revision.
 *
 * `ask` is a number that the page chooses, above 0; the answer carries it.
 */
import { z } from "zod";
import { Edit } from "./edit.ts";
import type { Mend, PatternFacts, SectionFacts } from "./facts.ts";
import type { SectionFactsPatch } from "./factsPatch.ts";
import {
  type FillAnswer,
  type FindAnswer,
  type FindProgress,
  FindQuestion,
  LARGEST_GAP,
  MOST_FILLINGS,
  MOST_GROUPS,
} from "./find.ts";
import type { Neighbours } from "./neighbours.ts";
import type { PackedSection } from "./packed.ts";
import type { Patch } from "./patch.ts";
import { PracticeEntry } from "./practice.ts";
import type { Problem } from "./problem.ts";
import { Id, Pattern, type Routine, Section, Step } from "./routine.ts";

const ask = z.int().positive();
/** A routine's name: its file without `.routine.json`. */
const name = z.string().min(1).max(200);
const rev = z.int().min(0);
/** Chosen by the page, unlike any other: at least 64 random bits. */
const OpId = z.string().min(8).max(64);
const token = z.string().max(200);
const sentence = z.string();

/** What a page still has of a routine. Revisions of different epochs do not follow from each other. */
const Have = z.strictObject({ epoch: z.string().max(100), rev });

// From the page.

const fromPage = [
  z.strictObject({ type: z.literal("hello"), wire: z.number(), token }),

  /** The folder. */
  z.strictObject({ type: z.literal("list"), ask }),
  z.strictObject({ type: z.literal("open"), ask, name, have: Have.optional() }),
  /** No more messages about it. */
  z.strictObject({ type: z.literal("leave"), name }),
  /** `text`: the content of a routine file; the problems of one that cannot be read are in the answer. */
  z.strictObject({
    type: z.literal("create"),
    ask,
    name,
    content: z.union([z.enum(["empty", "demo", "attic-waltz"]), z.strictObject({ text: z.string() })]),
  }),
  z.strictObject({ type: z.literal("copy"), ask, name, to: name }),
  z.strictObject({ type: z.literal("rename"), ask, name, to: name }),
  /** Into the folder's `.bin`; nothing is destroyed. */
  z.strictObject({ type: z.literal("bin"), ask, name }),
  /** What lies there, and one of it brought back: answered by `done` with its name, another where that is taken. */
  z.strictObject({ type: z.literal("binned"), ask }),
  z.strictObject({ type: z.literal("bring-back"), ask, place: z.string().max(100) }),

  z.strictObject({
    type: z.literal("edit"),
    name,
    opId: OpId,
    base: rev,
    edit: Edit,
    /** The page was told that this edit is stale, has seen what came between, and makes it again. */
    replayed: z.literal(true).optional(),
  }),
  z.strictObject({ type: z.literal("undo"), name, opId: OpId, base: rev }),
  z.strictObject({ type: z.literal("redo"), name, opId: OpId, base: rev }),

  /** What would it be? Only the latest is answered. `edit` null: no draft any more. */
  z.strictObject({ type: z.literal("draft"), name, draft: z.int(), base: rev, edit: Edit.nullable() }),

  /** Edits before a revision (it not included; left out: the newest), newest first. */
  z.strictObject({
    type: z.literal("history"),
    ask,
    name,
    before: rev.optional(),
    limit: z.int().min(1).max(500),
  }),
  /** The routine as it was at a revision. */
  z.strictObject({ type: z.literal("look"), ask, name, rev }),
  /** Brings a moment of the past back, as a new edit: answered like one. */
  z.strictObject({ type: z.literal("restore"), name, opId: OpId, base: rev, to: rev }),

  /** The file changed outside: which text stays; the other is kept as a copy. */
  z.strictObject({ type: z.literal("choose"), ask, name, keep: z.enum(["ours", "theirs"]) }),

  /** A search replaces the one before of the same page. Answered by `find-progress` and at last `found`. */
  z.strictObject({ type: z.literal("find"), ask, question: FindQuestion }),
  /** Of a search, or of `fill`, `mends`, `neighbours`: these are then answered by `sorry`. */
  z.strictObject({ type: z.literal("find-cancel"), ask }),
  /** Sequences that fill a gap of `steps` exactly: of lengths in steps, and patterns (by id) of the routine. */
  z.strictObject({
    type: z.literal("fill"),
    ask,
    name,
    steps: z.int().min(1).max(LARGEST_GAP),
    /** Of the gap; "1/16" where left out. */
    step: Step.optional(),
    groups: z
      .array(z.union([z.int().min(1).max(LARGEST_GAP), Id]))
      .min(1)
      .max(MOST_GROUPS),
    /** At so many steps from the gap's start one group ends and the next starts; which one, where given. */
    pins: z
      .array(
        z.strictObject({
          at: z.int().min(0).max(LARGEST_GAP),
          starts: z.union([z.int(), Id]).optional(),
          ends: z.union([z.int(), Id]).optional(),
        }),
      )
      .max(64)
      .optional(),
    top: z.int().min(0).max(MOST_FILLINGS),
  }),
  /** What can be done about how a placement is reached, and how it lands. */
  z.strictObject({ type: z.literal("mends"), ask, name, section: Id, placement: z.int().min(0) }),
  /** Phrases that differ from one by a single change; against bars of a metre, "4/4". */
  z.strictObject({ type: z.literal("neighbours"), ask, pattern: Pattern, meter: Section.shape.meter }),

  /** What was practised of a routine, and one entry more. */
  z.strictObject({ type: z.literal("practice"), ask, name }),
  z.strictObject({ type: z.literal("practised"), ask, name, entry: PracticeEntry }),

  /** A link that lets another browser of this machine in. */
  z.strictObject({ type: z.literal("link"), ask }),
] as const;
export const FromPage = z.discriminatedUnion("type", fromPage);
export type FromPage = z.infer<typeof FromPage>;

// From the server.

export const Entry = z.strictObject({
  name,
  /** Milliseconds since 1970. */
  modified: z.number(),
  bytes: z.number(),
});
export type Entry = z.infer<typeof Entry>;

/** A routine in the bin. */
export const Binned = z.strictObject({ ...Entry.shape, place: z.string() });
export type Binned = z.infer<typeof Binned>;

/** Where sections stand in the routine; columns in the order of `ids`. Units and seconds, lead-in included. */
export const Timing = z.strictObject({
  ids: z.array(Id),
  start: z.array(z.number()),
  end: z.array(z.number()),
  startSeconds: z.array(z.number()),
  endSeconds: z.array(z.number()),
  leadInBars: z.int(),
});
export type Timing = z.infer<typeof Timing>;

/**
 * What the server has worked out, or has parsed itself before it took it in. The page holds the same version as its
 * server (`welcome` says which), so it trusts the insides of what stands here: to parse a long routine once more
 * would cost the first picture a fifth of a second. The tests hold what is sent to its whole shape where there is a schema
 * (tests/live/insides.ts); facts, mends and neighbours, which are types alone, to what is worked out for them anew.
 */
const own = <Type extends object>() =>
  z.custom<Type>((value) => typeof value === "object" && value !== null, "It is no object.");

/**
 * What became of the routine. `patch` is to the routine, sections and facts are by id: a section or pattern that is not
 * named is as it was, one that is not in the routine any more is gone.
 */
const computed = {
  patch: own<Patch>(),
  /** Left out where it is the same. */
  timing: own<Timing>().optional(),
  sections: own<PackedSection[]>(),
  sectionFacts: own<SectionFactsPatch[]>(),
  patternFacts: own<PatternFacts[]>(),
  /** Errors and warnings: what gives way in the list that the page has (patch.ts, `applySplice`). */
  problems: z.strictObject({ at: z.int().min(0), remove: z.int().min(0), values: own<Problem[]>() }),
  /**
   * Placements that are neither drawn nor heard, because an error concerns them: JSON Pointers into the routine.
   * The rest is compiled as if they were not there.
   */
  leftOut: z.array(z.string()),
};

/** Words for what undo and redo would do; null: nothing. */
const lines = { undo: sentence.nullable(), redo: sentence.nullable() };

/**
 * saved: on disk, readable. saving: every acknowledged edit is safe, the readable file follows. cannot: edits are not
 * accepted, because of `why`. outside: the file changed under us, see `why`; the user chooses.
 */
export const Saved = z.strictObject({
  state: z.enum(["saved", "saving", "cannot", "outside"]),
  why: sentence.optional(),
  /** What stands on disk, with `outside`; null: the file is gone or cannot be read. */
  text: z.string().nullable().optional(),
});
export type Saved = z.infer<typeof Saved>;

/** One edit of the past. */
export const Past = z.strictObject({
  rev,
  /** Milliseconds since 1970. */
  at: z.number(),
  /** "Moved Swell in Ring Road to bar 3". */
  words: sentence,
});
export type Past = z.infer<typeof Past>;

const whole = {
  name,
  rev,
  routine: own<Routine>(),
  timing: own<Timing>(),
  sections: own<PackedSection[]>(),
  sectionFacts: own<SectionFacts[]>(),
  patternFacts: own<PatternFacts[]>(),
  problems: own<Problem[]>(),
  leftOut: z.array(z.string()),
};

const fromServer = [
  z.strictObject({
    type: z.literal("welcome"),
    wire: z.number(),
    /** The folder's path, to be shown. */
    folder: z.string(),
    routines: z.array(Entry),
    /** What the user should know about the folder. */
    notices: z.array(sentence),
  }),
  z.strictObject({ type: z.literal("list"), ask: ask.optional(), routines: z.array(Entry) }),

  z.strictObject({ type: z.literal("binned"), ask, routines: z.array(Binned) }),

  /** All of a routine, on opening it, and whenever a new epoch begins. */
  z.strictObject({
    type: z.literal("routine"),
    ask: ask.optional(),
    epoch: z.string(),
    ...whole,
    ...lines,
    saved: Saved,
    notices: z.array(sentence),
  }),
  /**
   * Sections that `routine` left out, or that are otherwise than it said; `left`: so many are still to come. The first
   * brings warnings and the facts of patterns where `routine` came before they were worked out.
   */
  z.strictObject({
    type: z.literal("sections"),
    name,
    epoch: z.string(),
    rev,
    sections: own<PackedSection[]>(),
    sectionFacts: own<SectionFacts[]>(),
    patternFacts: own<PatternFacts[]>().optional(),
    problems: own<Problem[]>().optional(),
    left: z.int().min(0),
  }),
  /** From revision `from` to `rev`; `by` is the opId of the edit where it is one edit, null where several. */
  z.strictObject({
    type: z.literal("changed"),
    name,
    epoch: z.string(),
    from: rev,
    rev,
    by: z.string().nullable(),
    words: sentence,
    ...computed,
    ...lines,
  }),
  /** Applied and safe. */
  z.strictObject({ type: z.literal("ack"), name, opId: OpId, rev, words: sentence }),
  /** Nothing was applied: the present revision, and what came between, newest last. */
  z.strictObject({ type: z.literal("stale"), name, opId: OpId, rev, edits: z.array(Past) }),
  /** Nothing was applied, and why: the thing is not there any more, the value cannot be, it cannot be saved. */
  z.strictObject({ type: z.literal("refused"), name, opId: OpId, rev, message: sentence }),

  /** What the draft would be, against revision `base`. Nothing is kept. */
  z.strictObject({
    type: z.literal("drafted"),
    name,
    draft: z.int(),
    base: rev,
    words: sentence,
    ...computed,
  }),
  z.strictObject({ type: z.literal("not-drafted"), name, draft: z.int(), message: sentence }),

  z.strictObject({ type: z.literal("saved"), name, saved: Saved }),
  z.strictObject({ type: z.literal("history"), ask, name, edits: z.array(Past), more: z.boolean() }),
  z.strictObject({ type: z.literal("past"), ask, at: z.number(), ...whole }),

  z.strictObject({ type: z.literal("find-progress"), ask, progress: own<FindProgress>() }),
  z.strictObject({ type: z.literal("found"), ask, answer: own<FindAnswer>() }),
  z.strictObject({ type: z.literal("filled"), ask, answer: own<FillAnswer>() }),
  /** The smallest first; each edit is for revision `rev`. */
  z.strictObject({
    type: z.literal("mends"),
    ask,
    rev,
    join: own<Mend[]>(),
    /** Why fewer than three different changes mend the join; null where there are enough, or nothing to mend. */
    why: sentence.nullable(),
    landing: own<Mend[]>(),
  }),
  z.strictObject({ type: z.literal("neighbours"), ask, answer: own<Neighbours>() }),
  /** Answers `practice`, and `practised` once that is safe on disk. `unread`: lines that could not be read. */
  z.strictObject({
    type: z.literal("practice"),
    ask,
    name,
    entries: own<PracticeEntry[]>(),
    unread: z.int().min(0),
  }),
  z.strictObject({ type: z.literal("link"), ask, url: z.string() }),

  /** The routine is called otherwise now (`to`), or went to the bin (null), by this or another page. */
  z.strictObject({ type: z.literal("renamed"), name, to: name.nullable() }),
  z.strictObject({ type: z.literal("done"), ask, name: name.optional() }),
  /** It was not done. `problems` where a routine file cannot be read. */
  z.strictObject({
    type: z.literal("sorry"),
    /** null: of a message that could not be read. */
    ask: ask.nullable(),
    message: sentence,
    problems: own<Problem[]>().optional(),
  }),
] as const;
export const FromServer = z.discriminatedUnion("type", fromServer);
export type FromServer = z.infer<typeof FromServer>;
export type ServerMessage<Type extends FromServer["type"]> = Extract<FromServer, { type: Type }>;
export type PageMessage<Type extends FromPage["type"]> = Extract<FromPage, { type: Type }>;
