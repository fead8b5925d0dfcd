/**
 * One page's playing, without socket or clock: it is told what to play and what was heard, and renders blocks up to a
 * little ahead of that. A change while it plays renders again from just after what was heard, as a new take.
 */
import type { Routine } from "../../schemas/routine.ts";
import {
  type BlockHead,
  blockBytes,
  HEAD_BYTES,
  type Material,
  type Place,
  RESTING,
  type Round,
  type SoundFromServer,
  type SoundPageMessage,
  writeHead,
} from "../../schemas/soundWire.ts";
import { CHANNELS } from "../../schemas/sound.ts";
import type { Making } from "../clips/making.ts";
import { type Channels, newChannels } from "../sound/render.ts";
import type { Sounds } from "../sound/score.ts";
import { meterOf } from "../time/meter.ts";
import { RATE } from "../sound/rate.ts";
import { MidiLine } from "./midiLine.ts";
import { barsCounted, type Manner, type Piece, placeOf, positionOf, Program } from "./program.ts";
import { Rounds } from "./rounds.ts";

/** Frames of a block: 20 ms. */
export const BLOCK = 960;
/** Frames that stand ready ahead of what was heard: 120 ms. */
export const AHEAD = 5_760;
/** Frames after what was heard at which a change begins: 30 ms, so that it arrives before it is due. */
export const LEAD = 1_440;

export interface Out {
  send(message: SoundFromServer): void;
  block(bytes: Uint8Array): void;
}

/** Gives a material as it is now; null where it cannot be played. */
export type PieceOf = (material: Material) => Piece | null;
export type SoundsOf = (material: Material, routine: Routine) => Sounds;

type When = SoundPageMessage<"next">["when"];

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
  /** Material to come, and the frame of the play at which it does. */
  #next: { readonly at: number; readonly material: Material } | null = null;
  #ended = false;
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
      this.#go(0, piece, position, barsCounted(piece, position, countIn));
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

  #go(at: number, piece: Piece, position: number, count?: Round["countIn"]): void {
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
    // What was never sent cannot have been heard.
    this.#heard = Math.max(this.#heard, Math.min(frames, this.#sent));
    this.underruns = underruns;
    this.fill();
  }

  /** Renders and sends what is due. */
  fill(): void {
    while (!this.#ended && this.#sent < this.#heard + AHEAD) {
      if (this.#next !== null && this.#sent >= this.#next.at) this.#switch(this.#next);
      if (this.#rounds !== null && !this.#goOn(this.#rounds)) return;
      const until = this.#next?.at ?? Number.POSITIVE_INFINITY;
      const most = Math.min(BLOCK, until - this.#sent);
      const rendered = this.#program.render(this.#sent, most, this.#channels);
      if (rendered === null) {
        this.#end();
        return;
      }
      const { play } = this;
      const head: BlockHead = { play, take: this.#take, first: this.#sent, ...rendered };
      const midi = this.#midi?.ofBlock(play, this.#take, this.#sent, rendered) ?? null;
      if (midi !== null) this.#out.send(midi);
      this.#out.block(packed(head, this.#channels));
      this.#sent += rendered.frames;
    }
    this.#program.forget(this.#heard - BLOCK);
  }

  /** Plans the rest, and the next round, before what is planned runs out. @returns false where nothing can follow */
  #goOn(rounds: Rounds): boolean {
    while (this.#program.end - this.#sent <= BLOCK) {
      const before = this.#rested ? undefined : rounds.at(this.#program.end);
      this.#rested = true;
      if (before !== undefined && before.rest > 0) {
        const position = this.#program.positionAt(this.#program.end - 1)?.position ?? 0;
        this.#program.rest(Math.round(before.rest * RATE), position);
      } else if (!this.#beginRound(rounds)) return false;
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

  #switch({ at, material }: { readonly at: number; readonly material: Material }): void {
    this.#next = null;
    const piece = this.#piece(material);
    if (piece === null) return;
    this.#material = material;
    this.#manner = { ...this.#manner, loop: wholeOf(piece) };
    this.#go(at, piece, 0);
    this.#out.send({ type: "switched", play: this.play, frame: at });
  }

  /** Renders again from just after what was heard, at the same place in the music, with what is new. */
  refresh(change: Partial<Manner> = {}): void {
    if (this.#ended) return;
    const at = Math.min(this.#sent, this.#heard + LEAD);
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

  seek(to: Place, when: Exclude<When, "group"> = "now"): void {
    const piece = this.#ended ? null : this.#piece(this.#material);
    if (piece === null) return;
    const from = Math.min(this.#sent, this.#heard + LEAD);
    this.#restart(when === "now" ? from : this.#boundary(from, when), piece, to);
  }

  /** A section that is not there any more: from the start of what is left. */
  #restart(at: number, piece: Piece, place: Place): void {
    const position = positionOf(piece, place) ?? 0;
    this.#take++;
    this.#go(at, piece, Math.min(position, Math.max(0, piece.performance.end - 1)));
    this.fill();
  }

  /** Goes over to other material at the next start of a group, beat or bar. */
  next(material: Material, when: When): void {
    if (this.#ended) return;
    const from = Math.min(this.#sent, this.#heard + LEAD);
    const at = when === "now" ? from : this.#boundary(from, when);
    this.#take++;
    this.#sent = Math.min(this.#sent, at);
    this.#next = { at, material };
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
function packed(head: BlockHead, { scratch, fader, others, beat, clicks }: Channels): Uint8Array {
  const { frames } = head;
  const bytes = new Uint8Array(blockBytes(frames));
  writeHead(new DataView(bytes.buffer), head);
  const order = [...scratch, fader, ...others, ...beat, ...clicks];
  for (let index = 0; index < CHANNELS.length; index++) {
    const into = new Float32Array(bytes.buffer, HEAD_BYTES + index * frames * 4, frames);
    into.set((order[index] as Float32Array).subarray(0, frames));
  }
  return bytes;
}
