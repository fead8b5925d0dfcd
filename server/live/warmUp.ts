/**
 * What an edit does while its routine plays, done some times for nothing on a copy that is kept nowhere. The engine makes
 * code fast only after it has run a while; so the first change of an evening is seen and heard as soon as the hundredth.
 */

import { blockBytes } from "../../schemas/soundBlock.ts";
import type { SingleEdit } from "../../schemas/edit.ts";
import type { Routine, Section } from "../../schemas/routine.ts";
import { FromPage } from "../../schemas/wire.ts";
import { writeRoutine } from "../routine/write.ts";
import { samplesOf } from "../../schemas/rig.ts";
import type { Sounds } from "../sound/inFrames.ts";
import type { Kit } from "../sound/kit.ts";
import { RATE } from "../sound/rate.ts";
import { silentTables } from "../sound/tables.ts";
import { messageOf } from "./message.ts";
import type { Moment } from "./moment.ts";
import { OpenRoutine } from "./openRoutine.ts";
import { changedText } from "./page.ts";
import { BLOCK, Player } from "./player.ts";
import { pieceOf } from "./program.ts";
import { SILENT } from "./soundBank.ts";
import { storedNowhere } from "./storedNowhere.ts";

/** After so many, an edit takes as long as it ever will. */
const TURNS = 24;
/** Milliseconds between two changes that are heard by nobody: by then somebody may play, and edit. */
const APART = 60;
/** Sections that are edited: a few stand for all. */
const SECTIONS = 8;

type Rest = (milliseconds?: number) => Promise<void>;

/**
 * Edits first, for they are seen also where nothing plays; then how they are heard, of samples without sound.
 * @param routine without errors; it stays as it is
 * @param kit with the drums that it strikes
 * @param rest lets whatever waits go first, for so many milliseconds where they are given
 * @returns edits that were worked out
 */
export async function warmUp(routine: Routine, kit: Kit, rest: Rest): Promise<number> {
  const copy = { ...routine, sections: routine.sections.slice(0, SECTIONS) };
  const open = new OpenRoutine(storedNowhere(routine.title, writeRoutine(copy)), TIMELESS);
  const moments: Moment[] = [open.present];
  open.watch({
    changed() {
      changedText(open, moments.at(-1) as Moment);
      moments.push(open.present);
    },
    saved() {},
    replaced() {},
  });
  for (let turn = 0; turn < TURNS; turn++) {
    await rest();
    await edited(open, editOf(open.present.routine, copy, turn), turn);
  }
  await rest();
  await heardAnew(routine.title, moments, silent(routine, kit), rest);
  await open.stop();
  return moments.length - 1;
}

const TIMELESS = { now: Date.now, after: () => () => {} };

/** As it comes from a page. */
async function edited(open: OpenRoutine, edit: SingleEdit, turn: number): Promise<void> {
  const said = { type: "edit", name: open.name, opId: `warm-up-${turn}`, base: open.present.rev, edit };
  const message = messageOf(FromPage, JSON.stringify(said));
  if (message?.type === "edit") await open.edit(message.opId, message.base, message.edit);
}

/** Tempo and place in turn, each another and then as it was. */
function editOf({ sections }: Routine, copy: Routine, turn: number): SingleEdit {
  const index = (turn >> 2) % sections.length;
  const section = sections[index] as Section;
  const own = copy.sections[index] as Section;
  const back = (turn & 2) !== 0;
  const [expected, first] = [section.placements[0], own.placements[0]];
  if (turn % 2 === 0 || expected === undefined || first === undefined) {
    const tempo = back ? own.tempo : otherTempo(own);
    return { kind: "change-section", id: section.id, set: { tempo } };
  }
  const to = back ? first : { ...first, at: first.at === "1/16" ? "1/8" : "1/16" };
  return {
    kind: "change-placements",
    changes: [{ placement: { section: section.id, index: 0, expected }, to }],
  };
}

/** A beat a minute faster than the section begins, or slower. */
function otherTempo({ tempo }: Section): number {
  const own = typeof tempo === "number" ? tempo : tempo.from;
  return own < 200 ? own + 1 : own - 1;
}

function silent({ rig }: Routine, kit: Kit): Sounds {
  const tables = silentTables(RATE);
  const samples = new Map(samplesOf(rig).map(({ id }) => [id, tables]));
  return { samples, beats: new Map(), kit, clicks: SILENT };
}

const OFF = { beat: false, record: false, fader: false };

/** Each of the moments takes the place of the one before while that is heard. */
async function heardAnew(
  name: string,
  moments: readonly Moment[],
  sounds: Sounds,
  rest: Rest,
): Promise<void> {
  const pieces = moments.map(({ worked, rev }) => pieceOf(worked.sound, worked.performance, rev));
  let turn = 0;
  const room = new ArrayBuffer(blockBytes(BLOCK));
  const player = new Player(
    {
      type: "play",
      play: 0,
      material: { kind: "open", name },
      from: null,
      countIn: 0,
      speed: 1,
      loop: null,
      clicks: OFF,
    },
    { send: () => {}, block: () => {}, room: () => room },
    () => pieces[turn] ?? null,
    () => sounds,
  );
  for (; turn < pieces.length && !player.ended; turn++) {
    await rest(APART);
    player.heard(turn * BLOCK, 0);
    player.refresh();
  }
}
