/**
 * One page's playing, without socket or clock: it is told what to play and what was heard, and renders blocks up to a
 * little ahead of that. A change while it plays renders again from just after what was heard, as a new take.
 */
import type { Routine } from "../../schemas/routine.ts";
import {
  type BlockHead,
  blockBytes,
  CHANNELS,
  HEAD_BYTES,
  type Material,
  type Place,
  type SoundFromServer,
  type SoundPageMessage,
  writeHead,
} from "../../schemas/soundWire.ts";
import { type Channels, newChannels } from "../sound/render.ts";
import type { Sounds } from "../sound/score.ts";
import { meterOf } from "../time/meter.ts";
import { type Manner, type Piece, placeOf, positionOf, Program } from "./program.ts";

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
  underruns = 0;

  constructor(message: SoundPageMessage<"play">, out: Out, pieceOf: PieceOf, soundsOf: SoundsOf) {
    this.#out = out;
    this.#pieceOf = pieceOf;
    this.#soundsOf = soundsOf;
    this.play = message.play;
    this.#material = message.material;
    const { speed, loop, player, countIn } = message;
    this.#manner = { speed, loop, player };
    const piece = this.#piece(message.material);
    if (piece === null) return;
    const from = message.from ?? loop?.from ?? null;
    const position = from === null ? 0 : (positionOf(piece, from) ?? 0);
    this.#go(0, piece, position, countIn);
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

  #go(at: number, piece: Piece, position: number, bars = 0): void {
    const sounds = this.#soundsOf(this.#material, piece.routine);
    this.#program.go(at, piece, position, this.#mannerOf(this.#material, piece), sounds, bars);
    this.#sent = Math.min(this.#sent, at);
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
      const until = this.#next?.at ?? Number.POSITIVE_INFINITY;
      const most = Math.min(BLOCK, until - this.#sent);
      const rendered = this.#program.render(this.#sent, most, this.#channels);
      if (rendered === null) {
        this.#end();
        return;
      }
      const { play } = this;
      const head: BlockHead = { play, take: this.#take, first: this.#sent, ...rendered };
      this.#out.block(packed(head, this.#channels));
      this.#sent += rendered.frames;
    }
    this.#program.forget(this.#heard - BLOCK);
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
    this.#manner = { ...this.#manner, ...change };
    const at = Math.min(this.#sent, this.#heard + LEAD);
    const here = this.#program.positionAt(at) ?? this.#program.positionAt(at - 1);
    if (here === null) return;
    const piece = this.#piece(this.#material);
    if (piece === null) return;
    if (!here.countingIn) {
      this.#restart(at, piece, placeOf(here.piece, here.position));
      return;
    }
    // A count-in goes on as it was; what follows it is new.
    this.#take++;
    this.#program.replaceAfterCountIn(at, (from, position) => this.#go(from, piece, position));
    this.fill();
  }

  seek(to: Place): void {
    const piece = this.#ended ? null : this.#piece(this.#material);
    if (piece !== null) this.#restart(Math.min(this.#sent, this.#heard + LEAD), piece, to);
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
