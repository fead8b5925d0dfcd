/** One page on the socket `/sound`: what it asks for, and the routines that it hears, which may change under it. */
import type { Edit } from "../../schemas/edit.ts";
import type { Routine } from "../../schemas/routine.ts";
import { blockBytes, SOUND_WIRE } from "../../schemas/soundBlock.ts";
import {
  type ClickChoice,
  type Material,
  SoundFromPage,
  type SoundFromServer,
  type SoundPageMessage,
} from "../../schemas/soundWire.ts";
import { SAMPLE_RATE } from "../../schemas/sound.ts";
import type { Connection } from "../web/interfaces.ts";
import { LIVE_PPQ } from "../clips/liveWindow.ts";
import { type Making, makingOf } from "../clips/making.ts";
import type { ClipStore } from "./clipStore.ts";
import type { Live } from "./live.ts";
import { messageOf } from "./message.ts";
import type { OpenRoutine } from "./openRoutine.ts";
import { AT_ONCE, BLOCK, Player } from "./player.ts";
import { type Piece, pieceOf } from "./program.ts";
import { clicksFor } from "../sound/clicksFor.ts";
import { readerIn, type SoundBank, soundFolder } from "./soundBank.ts";
import { createWorker, isWorked, type Worked } from "./worked.ts";

/** Bytes waiting above which a page gets no more blocks until it has taken some: half a second. */
const FULL = 900_000;

/** Milliseconds between two renderings of what edits changed: each renders a third of a second again. */
const BETWEEN = 40;

export class Listener {
  readonly #live: Live;
  readonly #bank: SoundBank;
  readonly #clips: ClipStore;
  readonly #connection: Connection;
  readonly #open = new Map<string, { readonly routine: OpenRoutine; readonly stop: () => void }>();
  readonly #makings = new WeakMap<Piece, Making>();
  readonly #alone = new WeakMap<Routine, Piece | null>();
  /** The moment of a past that is heard. */
  #past: { readonly name: string; readonly rev: number; readonly piece: Piece | null } | null = null;
  readonly #stopGone: () => void;
  readonly #leaveBank: () => void;
  #player: Player | null = null;
  #clicks: ClickChoice = { beat: false, record: false, fader: false };
  #draft: Worked | null = null;
  /** Of blocks that have left: made anew each time, they had the engine collect the whole heap twice a second. */
  readonly #rooms: ArrayBuffer[] = [];
  #preparing = false;
  #refreshing = false;
  #lastAnew = Number.NEGATIVE_INFINITY;
  #cancelAnew: (() => void) | null = null;
  #closed = false;
  /** Milliseconds of rendering since the load was told last, and the frames that had been heard by then. */
  #busy = 0;
  #told = 0;

  constructor(live: Live, bank: SoundBank, clips: ClipStore, connection: Connection) {
    this.#clips = clips;
    this.#live = live;
    this.#bank = bank;
    this.#connection = connection;
    this.#leaveBank = bank.attend();
    this.#stopGone = live.onGone((name) => this.#gone(name));
    connection.onMessage = (data) => this.#arrived(data);
    connection.onClose = () => this.#leave();
    this.#send({ type: "welcome", wire: SOUND_WIRE });
  }

  #send(message: SoundFromServer): void {
    if (!this.#closed) this.#connection.send(JSON.stringify(message));
  }

  #leave(): void {
    this.#closed = true;
    this.#player = null;
    this.#cancelAnew?.();
    this.#stopGone();
    this.#leaveBank();
    for (const { stop } of this.#open.values()) stop();
    this.#open.clear();
  }

  #arrived(data: string | Uint8Array): void {
    const message = messageOf(SoundFromPage, data);
    if (message === null) {
      this.#send({
        type: "sorry",
        play: null,
        message: "The message was not understood. Load the page again.",
      });
      return;
    }
    void this.#do(message).catch((error: unknown) => {
      this.#player = null;
      const play = "play" in message ? message.play : null;
      this.#send({ type: "sorry", play, message: `This cannot be played: ${(error as Error).message}` });
    });
  }

  async #do(message: SoundFromPage): Promise<void> {
    if (message.type === "hello") return;
    if (message.type === "play") return this.#play(message);
    const player = this.#player;
    // A message to a play that is over came late.
    if (player?.play !== message.play) return;
    switch (message.type) {
      case "stop":
        this.#player = null;
        return;
      case "heard":
        if (this.#connection.waiting < FULL) this.#render(player, message);
        return;
      case "set": {
        const { loop, speed, player: whose, clicks, midi } = message;
        if (midi !== undefined)
          player.tellMidi(midi ? (piece) => this.#making(piece, player.material) : null);
        if (clicks !== undefined) this.#clicks = clicks;
        return player.refresh({
          ...(loop === undefined ? {} : { loop }),
          ...(speed === undefined ? {} : { speed }),
          ...(whose === undefined ? {} : { player: whose }),
        });
      }
      case "seek":
        return player.seek(message.to, message.when);
      case "keep":
        return player.keep();
      case "rounds":
        return player.plan(message.rounds);
      case "next":
        await this.#need(message.material);
        if (this.#player === player) player.next(message.material, message.when);
        return;
      case "draft":
        return this.#hearDraft(player, message.edit as Edit | null);
    }
  }

  /** What is due is rendered now: the place to see how long that takes. */
  #render(player: Player, { frames, underruns }: SoundPageMessage<"heard">): void {
    const began = performance.now();
    player.heard(frames, underruns);
    this.#busy += performance.now() - began;
    if (frames - this.#told < SAMPLE_RATE) return;
    const seconds = (frames - this.#told) / SAMPLE_RATE;
    this.#send({ type: "load", play: player.play, part: this.#busy / 1000 / seconds });
    this.#busy = 0;
    this.#told = frames;
  }

  #keep(room: ArrayBuffer): void {
    if (this.#rooms.length < AT_ONCE) this.#rooms.push(room);
  }

  async #play(message: SoundPageMessage<"play">): Promise<void> {
    this.#player = null;
    this.#busy = 0;
    this.#told = 0;
    this.#draft = null;
    await this.#need(message.material);
    if (this.#closed) return;
    this.#clicks = message.clicks;
    const out = {
      send: (said: SoundFromServer) => this.#send(said),
      room: () => this.#rooms.pop() ?? new ArrayBuffer(blockBytes(BLOCK)),
      block: (bytes: Uint8Array<ArrayBuffer>) => {
        if (!this.#closed) this.#connection.send(bytes, false, () => this.#keep(bytes.buffer));
      },
      later: (goOn: () => void) => {
        setImmediate(() => {
          if (!this.#closed && this.#player?.play === message.play) goOn();
        });
      },
    };
    this.#player = new Player(
      message,
      out,
      (material) => this.#pieceOf(material),
      (material, routine) => this.#soundsOf(material, routine),
      message.midi === true ? (piece) => this.#making(piece, message.material) : null,
    );
  }

  /** What the MIDI of a piece is made of: the open routine's clips, or those of material made for listening. */
  #making(piece: Piece, material: Material): Making {
    let making = this.#makings.get(piece);
    if (making === undefined) {
      const open = material.kind === "open" ? this.#open.get(material.name)?.routine : undefined;
      const memory = open === undefined ? new Map() : this.#clips.memoryOf(open);
      making = makingOf(piece.routine, piece.performance, { ppq: LIVE_PPQ, memory });
      this.#makings.set(piece, making);
    }
    return making;
  }

  /** Opens what is to be heard, and follows it. */
  async #need(material: Material): Promise<void> {
    if (material.kind !== "open") return;
    if (!this.#open.has(material.name)) await this.#follow(material.name);
    const { name, rev } = material;
    const open = this.#open.get(name);
    if (rev === undefined || open === undefined) return;
    const worked = createWorker()((await open.routine.past(rev)).routine);
    const piece = isWorked(worked) ? pieceOf(worked.sound, worked.performance, rev) : null;
    this.#past = { name, rev, piece };
  }

  async #follow(name: string): Promise<void> {
    const routine = await this.#live.open(name);
    if (this.#closed || this.#open.has(name)) return;
    const anew = (): void => {
      this.#draft = null;
      if (this.#hears(name)) this.#anew();
    };
    const stop = routine.watch({ changed: anew, replaced: anew, saved: () => {} });
    this.#open.set(name, { routine, stop });
  }

  /** An edit is heard at once, after its answer; of many that follow each other closely, only what they led to. */
  #anew(): void {
    const { clock } = this.#live;
    const wait = this.#lastAnew + BETWEEN - clock.now();
    if (wait <= 0) {
      this.#lastAnew = clock.now();
      setImmediate(() => this.#player?.refresh());
    } else {
      this.#cancelAnew ??= clock.after(wait, () => {
        this.#cancelAnew = null;
        this.#anew();
      });
    }
  }

  #hears(name: string): boolean {
    const material = this.#player?.material;
    return material?.kind === "open" && material.name === name;
  }

  #gone(name: string): void {
    this.#open.get(name)?.stop();
    this.#open.delete(name);
    if (!this.#hears(name)) return;
    const { play } = this.#player as Player;
    this.#player = null;
    this.#send({ type: "sorry", play, message: `${name} was renamed or removed. Open it again to hear it.` });
  }

  #pieceOf(material: Material): Piece | null {
    if (material.kind === "open" && material.rev !== undefined) {
      const past = this.#past;
      return past?.name === material.name && past.rev === material.rev ? past.piece : null;
    }
    if (material.kind === "open") {
      const present = this.#open.get(material.name)?.routine.present;
      if (present === undefined) return null;
      const { sound, performance } = this.#draft ?? present.worked;
      return pieceOf(sound, performance, present.rev);
    }
    const routine = material.routine as Routine;
    const known = this.#alone.get(routine);
    if (known !== undefined) return known;
    const worked = createWorker()(routine);
    const piece = isWorked(worked) ? pieceOf(worked.sound, worked.performance, 0) : null;
    this.#alone.set(routine, piece);
    return piece;
  }

  #soundsOf(material: Material, routine: Routine) {
    // A phrase by itself plays the samples of the routine that is open beside it.
    const beside = material.kind === "open" ? material.name : material.sounds;
    const name = beside ?? this.#open.keys().next().value ?? "";
    const where = soundFolder(this.#live.folder.path, name);
    const sounds = this.#bank.soundsOf(routine, where, readerIn(where), clicksFor(this.#clicks), () =>
      this.#ready(),
    );
    this.#tellPreparing();
    return sounds;
  }

  /** Several sounds that come ready together are heard by one refresh. */
  #ready(): void {
    if (this.#refreshing) return;
    this.#refreshing = true;
    setImmediate(() => {
      this.#refreshing = false;
      this.#player?.refresh();
      this.#tellPreparing();
    });
  }

  /** Tells when sounds begin to be prepared, and when all are. */
  #tellPreparing(): void {
    const { busy } = this.#bank;
    if (busy === this.#preparing) return;
    this.#preparing = busy;
    this.#send({ type: "preparing", what: "sounds", done: !busy });
  }

  #hearDraft(player: Player, edit: Edit | null): void {
    if (player.material.kind !== "open" || player.material.rev !== undefined) return;
    const routine = this.#open.get(player.material.name)?.routine;
    if (routine === undefined) return;
    const before = this.#draft;
    const tried = edit === null ? null : routine.draft(edit);
    this.#draft = tried === null || "refused" in tried ? null : tried.worked;
    if (this.#draft !== before) player.refresh();
  }
}
