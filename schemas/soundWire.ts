/**
 * The messages of the socket `/sound`: the page says what to play, the server streams blocks of it a little ahead of
 * what is heard. JSON text both ways, and binary frames from the server (soundBlock.ts).
 *
 * A PLAY is one run of the transport, numbered by the page from 1 upwards. Its frames count from 0, whatever the
 * place in the music, through loops, count-in and changes of speed; 48,000 a second. The page reports what it has
 * played (`heard`), and the server keeps half a second ahead of that.
 *
 * When something changes while it plays (an edit, speed, loop, the next phrase), the server sends blocks again from
 * just after what was heard, with a higher `take`: from there on they stand in place of the earlier ones, and the
 * page goes over to them in a short crossfade. A block of a lower take than one received for the same frames is
 * old; throw it away.
 *
 * Levels, muting and listening to one channel alone are the page's: all channels are always sent.
 */
import { z } from "zod";
import { Edit } from "./edit.ts";
import { Id, Player, Routine } from "./routine.ts";

/** The page's number of a play, from 1. */
const play = z.int().min(1).max(0xffff_ffff);

/** A place in a routine that stays where it is musically when something before it changes. */
export const Place = z.strictObject({
  section: Id,
  /** Units from the section's start; negative in the lead-in or a pickup. */
  at: z.number(),
});
export type Place = z.infer<typeof Place>;

/**
 * What is played. `open`: a routine of the folder, which follows every edit as it is made. `alone`: a routine made by
 * the page for listening (one section with one phrase, say), which loops as a whole.
 */
export const Material = z.discriminatedUnion("kind", [
  z.strictObject({
    kind: z.literal("open"),
    name: z.string().min(1).max(200),
    /** As it was at this revision; as it is where left out. */
    rev: z.int().min(0).optional(),
  }),
  z.strictObject({
    kind: z.literal("alone"),
    routine: Routine,
    /** The routine of the folder whose sounds it plays; left out: the one that is open beside it. */
    sounds: z.string().min(1).max(200).optional(),
  }),
]);
export type Material = z.infer<typeof Material>;

/** The end is not included. */
export const LoopRange = z.strictObject({ from: Place, to: Place });
export type LoopRange = z.infer<typeof LoopRange>;

/** Which clicks sound in the channel of clicks. */
export const ClickChoice = z.strictObject({ beat: z.boolean(), record: z.boolean(), fader: z.boolean() });
export type ClickChoice = z.infer<typeof ClickChoice>;

/** What is counted before it begins: bars or beats of the metre there, or groups of one hand. */
export const CountedBy = z.enum(["bar", "beat", "record", "fader"]);
export type CountedBy = z.infer<typeof CountedBy>;
/** So many of them; a bar is counted beat by beat. */
export const CountIn = z.strictObject({ count: z.int().min(0).max(64), by: CountedBy });
export type CountIn = z.infer<typeof CountIn>;

export const SLOWEST = 0.25;
export const FASTEST = 2;
/** As tempo: the hands go with it, the sample keeps its pitch where the platter alone moves it. */
const speed = z.number().min(SLOWEST).max(FASTEST);

/**
 * One round of a drill: counted in, played once, then a rest to bring the record back. The speed may be another in
 * each. A round begins with its count-in.
 */
export const Round = z.strictObject({
  /** Of the play, from 0, chosen by the page; one higher each round. */
  number: z.int().min(0),
  range: LoopRange,
  speed,
  countIn: CountIn,
  /** Seconds. */
  rest: z.number().min(0).max(60),
  /** Counted in, and then nothing is heard, to see whether the time holds. */
  silent: z.boolean(),
});
export type Round = z.infer<typeof Round>;
const rounds = z.array(Round).min(1).max(64);

const fromPage = [
  z.strictObject({ type: z.literal("hello"), wire: z.number(), token: z.string().max(200) }),
  z.strictObject({
    type: z.literal("play"),
    play,
    material: Material,
    /** null: from the start, lead-in included. */
    from: Place.nullable(),
    loop: LoopRange.nullable(),
    speed,
    /** Bars of clicks before it begins, in the metre and tempo of where it begins. */
    countIn: z.int().min(0).max(4),
    clicks: ClickChoice,
    /** Whose record and fader stand in their own channels; left out: the lowest player. */
    player: Player.optional(),
    /** A drill: played in place of `from`, `loop`, `speed` and `countIn`. */
    rounds: rounds.optional(),
    /** Whether MIDI comes with the sound; no where it is left out. */
    midi: z.boolean().optional(),
  }),
  z.strictObject({ type: z.literal("stop"), play }),
  /** While playing; what is left out stays. A loop that does not hold the present place is entered at its start. */
  z.strictObject({
    type: z.literal("set"),
    play,
    loop: LoopRange.nullable().optional(),
    speed: speed.optional(),
    clicks: ClickChoice.optional(),
    player: Player.optional(),
    midi: z.boolean().optional(),
  }),
  /** Go to a place, at once unless said, the play going on; in place of what was to come by `seek` or `next`. */
  z.strictObject({
    type: z.literal("seek"),
    play,
    to: Place,
    when: z.enum(["now", "group", "beat", "bar"]).optional(),
  }),
  /** What is to come by `seek` or `next`, and is not heard yet, is not wanted after all. */
  z.strictObject({ type: z.literal("keep"), play }),
  /**
   * The rounds to come, in place of those that were said before. One that has begun already stays as it was. Where
   * none is left, the last is played again, as the next number.
   */
  z.strictObject({ type: z.literal("rounds"), play, rounds }),
  /**
   * Go over to other material at the next start of a record group, beat or bar of what is heard, without a break;
   * it begins at its start and loops. A `next` or `seek` before then takes its place.
   */
  z.strictObject({
    type: z.literal("next"),
    play,
    material: Material,
    when: z.enum(["now", "group", "beat", "bar"]),
  }),
  /** Hear the open routine with this edit, without making it; null: as it is. Ends with the next real edit too. */
  z.strictObject({ type: z.literal("draft"), play, edit: Edit.nullable() }),
  /** How many frames of the play have been heard, and how often the page ran out of them. About 20 times a second. */
  z.strictObject({ type: z.literal("heard"), play, frames: z.number().min(0), underruns: z.int().min(0) }),
] as const;
export const SoundFromPage = z.discriminatedUnion("type", fromPage);
export type SoundFromPage = z.infer<typeof SoundFromPage>;
export type SoundPageMessage<Type extends SoundFromPage["type"]> = Extract<SoundFromPage, { type: Type }>;

const fromServer = [
  z.strictObject({ type: z.literal("welcome"), wire: z.number() }),
  /** The routine came to its end; the play has this many frames. */
  z.strictObject({ type: z.literal("end"), play, frames: z.number() }),
  /** From this frame on, what the last `next` or `seek` asked for is heard; told again where the frame changes. */
  z.strictObject({ type: z.literal("switched"), play, frame: z.number() }),
  /** A round begins at this frame, as it is played. */
  z.strictObject({ type: z.literal("round"), play, frame: z.number(), round: Round }),
  /** The MIDI of a block, as `events` tells it. Comes before the block's sound; none while counting in and resting. */
  z.strictObject({
    type: z.literal("midi"),
    play,
    take: z.int(),
    /** Frames of the play that it stands for. */
    first: z.number(),
    frames: z.int(),
    /**
     * Frame of the play (with parts of a frame) and message, in turns: status, first and second data byte, 8 bits each.
     * MIDI Clock is among them; Start, Continue, Stop and Song Position are for the page to send.
     */
    events: z.array(z.number()),
    /**
     * Where a take begins, the music leaps or stops: what holds at the first frame. `on`: notes that sound, as messages.
     * `set`: controllers and bends. `rest`: what puts them back when play stops. `clock`: of the routine's clocks, 24 a
     * quarter from 0, the next from this frame on; null where none runs.
     */
    state: z
      .strictObject({
        on: z.array(z.int()),
        set: z.array(z.int()),
        rest: z.array(z.int()),
        clock: z.int().nullable(),
      })
      .nullable(),
  }),
  /** Seconds of processor time that a second of sound takes the server, of late. */
  z.strictObject({ type: z.literal("load"), play, part: z.number().min(0) }),
  /** It cannot be played, or not be played any more (the routine went away), and why. `play` null: not understood. */
  z.strictObject({ type: z.literal("sorry"), play: play.nullable(), message: z.string() }),
  /** A sound that the routine uses is being prepared; silent until then. */
  z.strictObject({ type: z.literal("preparing"), what: z.string(), done: z.boolean() }),
] as const;
export const SoundFromServer = z.discriminatedUnion("type", fromServer);
export type SoundFromServer = z.infer<typeof SoundFromServer>;
