/**
 * One page's playing, without socket or clock: it is told what to play and what was heard, and renders blocks up to a
 * little ahead of that. A change while it plays renders again from just after what was heard, as a new take. Where it
 * comes too late, what the page passed over in silence is not sent any more: the music keeps its time.
 */
import type { Routine } from "../../schemas/routine.ts";
import { CHANNELS } from "../../schemas/sound.ts";
import {
  type BlockHead,
  blockBytes,
  HEAD_BYTES,
  LAST,
  RESTING,
  writeHead,
} from "../../schemas/soundBlock.ts";
import type {
  CountIn,
  Material,
  Place,
  Round,
  SoundFromServer,
  SoundPageMessage,
} from "../../schemas/soundWire.ts";
import type { Making } from "../clips/making.ts";
import type { Sounds } from "../sound/inFrames.ts";
import { RATE } from "../sound/rate.ts";
import { type Channels, newChannels } from "../sound/render.ts";
import { meterOf } from "../time/meter.ts";
import { MidiLine } from "./midiLine.ts";
import { type Manner, type Piece, Program, placeOf, positionOf, type Rendered } from "./program.ts";
import { Rounds } from "./rounds.ts";

/** Frames of a block: 20 ms. */
export const BLOCK = 960;
/** Frames that stand ready ahead of what was heard: half a second, which outlasts whatever else keeps us or the page busy. */
export const AHEAD = 24_000;
/** Blocks that are sent at a time: a change that comes often does not render all of it anew each time. */
export const AT_ONCE = 16;
/** Blocks that are rendered without a pause: what a page needs to go over to a change, and edits wait for no more. */
const SLICE = 5;
/** Frames after what was heard at which a change begins: 30 ms, so that it arrives before it is due. */
export const LEAD = 1_440;
/** Frames before it is heard from which on a round of a drill begins as it was planned: until then it may be another. */
const BEGIN_WITHIN = 5_760;
/** Frames beyond what was sent that a page may claim to have passed over, at a time: two seconds. */
export const MOST_PASSED = 96_000;

export interface Out {
  send(message: SoundFromServer): void;
  block(bytes: Uint8Array<ArrayBuffer>): void;
  /** Memory for a block, `blockBytes(BLOCK)` of it, that nobody else has; where it is left out each has its own. */
  readonly room?: () => ArrayBuffer;
  /** Calls back when others had their turn; where it is left out nothing is put off. */
  readonly later?: (goOn: () => void) => void;
}

/** Gives a material as it is now; null where it cannot be played. */
export type PieceOf = (material: Material) => Piece | null;
export type SoundsOf = (material: Material, routine: Routine) => Sounds;

type When = SoundPageMessage<"next">["when"];

/** What comes at a frame of the play: other material from its start, or another place of the same. */
interface Coming {
  readonly at: number;
  readonly when: When;
  readonly material: Material | null;
  readonly to: Place | null;
}

export class Player {
  readonly #out: Out;
  readonly #pieceOf: PieceOf;
  readonly #soundsOf: SoundsOf;
  readonly #channels: Channels = newChannels(BLOCK);
  readonly play: number;
  #program = new Program();
  #material: Material;
  #manner: Manner;
  #take = 1;
  #heard = 0;
  /** Frames rendered and sent. */
  #sent = 0;
  #coming: Coming | null = null;
  /** What came last, and what was played before: taken back where something changes before it is heard. */
  #came: { readonly coming: Coming; readonly material: Material; readonly manner: Manner } | null = null;
  #ended = false;
  /** The latest of what was to be rendered in parts: those before it are given up. */
  #filling = 0;
  #midi: MidiLine | null = null;
  /** Of a drill; the rest after the round that is planned last was planned too. */
  readonly #rounds: Rounds | null;
  #rested = true;
  underruns = 0;

  /** @param making what MIDI is made of, where the page wants it */
  constructor(
    message: SoundPageMessage<"play">,
    out: Out,
    pieceOf: PieceOf,
    soundsOf: SoundsOf,
    making: ((piece: Piece) => Making) | null = null,
  ) {
    this.tellMidi(making);
    this.#out = out;
    this.#pieceOf = pieceOf;
    this.#soundsOf = soundsOf;
    this.play = message.play;
    this.#material = message.material;
    const { speed, loop, player, countIn } = message;
    this.#manner = { speed, loop, player };
    this.#rounds = message.rounds === undefined ? null : new Rounds(message.rounds);
    const piece = this.#piece(message.material);
    if (piece === null) return;
    if (this.#rounds === null) {
      const from = message.from ?? loop?.from ?? null;
      const position = from === null ? 0 : (positionOf(piece, from) ?? 0);
      this.#go(0, piece, position, { count: countIn, by: "bar" });
    }
    this.fill();
  }

  get material(): Material {
    return this.#material;
  }
  get ended(): boolean {
    return this.#ended;
  }
  /** Frames that were sent and not yet heard. */
  get ahead(): number {
    return this.#sent - this.#heard;
  }

  #piece(material: Material): Piece | null {
    const piece = this.#pieceOf(material);
    if (piece === null) {
      this.#ended = true;
      this.#out.send({
        type: "sorry",
        play: this.play,
        message: "There is nothing here that can be played.",
      });
    }
    return piece;
  }

  /** Material made for listening goes round as a whole. */
  #mannerOf(material: Material, piece: Piece): Manner {
    if (material.kind === "open" || this.#manner.loop !== null) return this.#manner;
    return { ...this.#manner, loop: wholeOf(piece) };
  }

  #go(at: number, piece: Piece, position: number, count?: CountIn): void {
    const sounds = this.#soundsOf(this.#material, piece.routine);
    this.#program.go(at, piece, position, this.#mannerOf(this.#material, piece), sounds, count);
    this.#sent = Math.min(this.#sent, at);
  }

  /** From now on the MIDI of each block is told with it; null: no more. */
  tellMidi(making: ((piece: Piece) => Making) | null): void {
    this.#midi = making === null ? null : new MidiLine(making);
  }

  /** The page has heard so many frames. */
  heard(frames: number, underruns: number): void {
    this.#heard = Math.max(this.#heard, Math.min(Math.floor(frames), this.#sent + MOST_PASSED));
    this.underruns = underruns;
    this.fill();
  }

  get #due(): boolean {
    return !this.#ended && this.#sent < this.#heard + AHEAD;
  }

  /** Renders and sends what is due: what is heard next at once, the rest when others had their turn. */
  fill(): void {
    const { later } = this.#out;
    const filling = ++this.#filling;
    const goOn = (blocks: number): void => {
      if (filling !== this.#filling) return;
      const now = later === undefined ? blocks : Math.min(blocks, SLICE);
      this.#render(now);
      if (now < blocks && this.#due) later?.(() => goOn(blocks - now));
    };
    goOn(AT_ONCE);
  }

  #render(most: number): void {
    let blocks = 0;
    while (this.#due && blocks < most) {
      if (this.#coming !== null && this.#sent >= this.#coming.at) this.#arrive(this.#coming);
      if (this.#rounds !== null && !this.#goOn(this.#rounds)) return;
      const until = this.#coming?.at ?? Number.POSITIVE_INFINITY;
      const most = Math.min(BLOCK, until - this.#sent);
      const rendered = this.#program.render(this.#sent, most, this.#channels, this.#heard);
      if (rendered === null) {
        this.#end();
        return;
      }
      // With something to come the play is not over.
      const goesOn = this.#coming === null && this.#rounds === null ? 0 : LAST;
      const late = this.#sent + rendered.frames <= this.#heard;
      if (!late || (rendered.flags & LAST) !== 0) {
        this.#send({ ...rendered, flags: rendered.flags & ~goesOn });
        blocks++;
      }
      this.#sent += rendered.frames;
    }
    this.#program.forget(this.#heard - BLOCK);
  }

  #send(rendered: Rendered): void {
    const { play } = this;
    const head: BlockHead = { play, take: this.#take, first: this.#sent, ...rendered };
    const midi = this.#midi?.ofBlock(play, this.#take, this.#sent, rendered) ?? null;
    if (midi !== null) this.#out.send(midi);
    this.#out.block(packed(head, this.#channels, this.#out.room?.()));
  }

  /** Plans the rest, and the next round, before what is planned runs out. @returns false where nothing can follow */
  #goOn(rounds: Rounds): boolean {
    while (this.#program.end - this.#sent <= BLOCK) {
      const before = this.#rested ? undefined : rounds.at(this.#program.end);
      this.#rested = true;
      if (before !== undefined && before.rest > 0) {
        const position = this.#program.positionAt(this.#program.end - 1)?.position ?? 0;
        this.#program.rest(Math.round(before.rest * RATE), position);
      } else if (this.#program.end > this.#heard + BEGIN_WITHIN) return this.#sent < this.#program.end;
      else if (!this.#beginRound(rounds)) return false;
    }
    return true;
  }

  #beginRound(rounds: Rounds): boolean {
    const piece = this.#piece(this.#material);
    if (piece === null) return false;
    const frame = this.#program.end;
    const round = rounds.begin(frame);
    const [from, until] = [positionOf(piece, round.range.from), positionOf(piece, round.range.to)];
    if (from === null || until === null || until <= from) {
      this.#ended = true;
      const message = "What is practised is not in the routine any more. Choose another part.";
      this.#out.send({ type: "sorry", play: this.play, message });
      return false;
    }
    this.#manner = { ...this.#manner, ...mannerOf(round) };
    this.#rested = false;
    this.#go(frame, piece, from, round.countIn);
    this.#out.send({ type: "round", play: this.play, frame, round });
    return true;
  }

  /** The rounds to come. */
  plan(rounds: readonly Round[]): void {
    this.#rounds?.plan(rounds);
  }

  #end(): void {
    this.#ended = true;
    this.#out.send({ type: "end", play: this.play, frames: this.#sent });
  }

  #arrive(coming: Coming): void {
    const { at, to } = coming;
    const material = coming.material ?? this.#material;
    this.#coming = null;
    const piece = this.#piece(material);
    if (piece === null) return;
    this.#came = { coming, material: this.#material, manner: this.#manner };
    this.#material = material;
    if (coming.material !== null) this.#manner = { ...this.#manner, loop: wholeOf(piece) };
    this.#go(at, piece, to === null ? 0 : positionWithin(piece, to));
    this.#out.send({ type: "switched", play: this.play, frame: at });
  }

  /** What came, and is not heard by a frame, is still to come. The caller plans anew from there on. */
  #notYet(at: number): boolean {
    const came = this.#came;
    if (came === null || came.coming.at <= at) return false;
    this.#came = null;
    this.#material = came.material;
    this.#manner = came.manner;
    this.#coming ??= came.coming;
    return true;
  }

  /** Renders again from just after what was heard, at the same place in the music, with what is new. */
  refresh(change: Partial<Manner> = {}): void {
    if (this.#ended) return;
    const at = this.#soonest;
    this.#notYet(at);
    const here = this.#program.positionAt(at) ?? this.#program.positionAt(at - 1);
    if (here !== null) this.#takeBackAfter(at, here.mark);
    this.#manner = { ...this.#manner, ...change };
    if (here === null) return;
    const piece = this.#piece(this.#material);
    if (piece === null) return;
    if (here.mark === 0) {
      this.#restart(at, piece, placeOf(here.piece, here.position));
      return;
    }
    if (here.mark === RESTING) {
      this.fill();
      return;
    }
    // A count-in goes on as it was; what follows it is new.
    this.#take++;
    this.#program.replaceAfterCountIn(at, (from, position) => this.#go(from, piece, position));
    this.fill();
  }

  /** A round that was planned and is not heard yet waits again, so that it begins with what is new. */
  #takeBackAfter(at: number, mark: number): void {
    if (this.#rounds === null) return;
    const frame = this.#rounds.takeBack(at);
    const round = this.#rounds.at(at);
    if (round !== undefined && frame !== null) this.#manner = { ...this.#manner, ...mannerOf(round) };
    this.#rested = mark === RESTING;
    if (mark !== RESTING || frame === null) return;
    this.#program.cut(frame);
    if (frame >= this.#sent) return;
    this.#take++;
    this.#sent = frame;
  }

  /** Goes to a place of the same material: at once, or at the next start of a group, beat or bar. */
  seek(to: Place, when: When = "now"): void {
    this.#plan({ material: null, to, when });
  }

  /** Goes over to other material. */
  next(material: Material, when: When): void {
    this.#plan({ material, to: null, when });
  }

  /** What is to come is not wanted after all: it goes on as it is. */
  keep(): void {
    const rendered = this.#notYet(this.#soonest);
    this.#coming = null;
    if (rendered) this.refresh();
  }

  /** The first frame that can still be another: it arrives before it is due. */
  get #soonest(): number {
    return Math.min(this.#sent, this.#heard + LEAD);
  }

  #plan(wish: Omit<Coming, "at">): void {
    if (this.#ended) return;
    const from = this.#soonest;
    this.keep();
    const at = wish.when === "now" ? from : this.#boundary(from, wish.when);
    this.#take++;
    this.#sent = Math.min(this.#sent, at);
    this.#coming = { ...wish, at };
    this.fill();
  }

  #restart(at: number, piece: Piece, place: Place): void {
    this.#take++;
    this.#go(at, piece, positionWithin(piece, place));
    const coming = this.#coming;
    if (coming !== null)
      this.#coming = { ...coming, at: coming.when === "now" ? at : this.#boundary(at, coming.when) };
    this.fill();
  }

  #boundary(from: number, when: Exclude<When, "now">): number {
    const here = this.#program.positionAt(from);
    if (here === null) return from;
    const leap = this.#program.leapAfter(from);
    const frames = boundaries(here.piece, here.position, when)
      .map((position) => this.#program.frameOf(from, position))
      .filter((frame) => frame !== null && frame >= from && frame < leap);
    // The start of the loop is the start of a bar too.
    const first = Math.min(leap, this.#program.end, ...(frames as number[]));
    return Number.isFinite(first) ? first : from;
  }
}

/** Units from the routine's start; of a section that is not there any more, the start of what is left. */
const positionWithin = (piece: Piece, place: Place): number =>
  Math.min(positionOf(piece, place) ?? 0, Math.max(0, piece.performance.end - 1));

const mannerOf = ({ range, speed, silent }: Round) => ({ loop: null, until: range.to, speed, silent });

const wholeOf = ({ performance, routine }: Piece): NonNullable<Manner["loop"]> => {
  const first = routine.sections[0] as Routine["sections"][number];
  const last = routine.sections.at(-1) as Routine["sections"][number];
  const { start, end } = performance.sections.at(-1) as (typeof performance.sections)[number];
  return { from: { section: first.id, at: 0 }, to: { section: last.id, at: end - start } };
};

/** The next starts of groups, beats or bars from a position on, in this section and the next. */
function boundaries(piece: Piece, position: number, when: Exclude<When, "now">): number[] {
  const { index } = placeOf(piece, position);
  const found: number[] = [];
  for (const at of [index, index + 1]) {
    const section = piece.performance.sections[at];
    if (section === undefined) continue;
    found.push(section.start);
    if (when === "group") {
      for (const { recordGroups } of section.performance.placed) {
        for (const group of recordGroups)
          if (section.start + group >= position) found.push(section.start + group);
      }
    } else {
      const meter = meterOf(piece.routine.sections[at] as Routine["sections"][number]);
      const step = when === "bar" ? meter.bar : meter.beat;
      const into = Math.max(0, Math.ceil((position - section.start) / step));
      if (section.start + into * step < section.end) found.push(section.start + into * step);
    }
  }
  return found.filter((one) => one >= position);
}

/** The block as bytes: its head, then the channels. */
function packed(
  head: BlockHead,
  { scratch, fader, others, beat, clicks }: Channels,
  room?: ArrayBuffer,
): Uint8Array<ArrayBuffer> {
  const { frames } = head;
  const bytes = new Uint8Array(room ?? new ArrayBuffer(blockBytes(frames)), 0, blockBytes(frames));
  writeHead(new DataView(bytes.buffer), head);
  const order = [...scratch, fader, ...others, ...beat, ...clicks];
  for (let index = 0; index < CHANNELS.length; index++) {
    const into = new Float32Array(bytes.buffer, HEAD_BYTES + index * frames * 4, frames);
    into.set((order[index] as Float32Array).subarray(0, frames));
  }
  return bytes;
}
