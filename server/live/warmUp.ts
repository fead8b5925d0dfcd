/**
 * What an edit does while its routine plays, done some times for nothing. The engine makes code fast only after it has
 * run a while; so the first change of an evening is seen and heard as soon as the hundredth.
 */

import { patchBetween } from "../../schemas/patch.ts";
import type { Routine, Section } from "../../schemas/routine.ts";
import { FromPage } from "../../schemas/wire.ts";
import { checkRoutine } from "../routine/check.ts";
import { applyEdit } from "../routine/edit.ts";
import type { Sounds } from "../sound/inFrames.ts";
import { computedBetween } from "./computed.ts";
import { messageOf } from "./message.ts";
import { BLOCK, Player } from "./player.ts";
import { pieceOf } from "./program.ts";
import { createWorker, isWorked } from "./worked.ts";

/** After so many, an edit takes as long as it ever will. */
const TURNS = 24;
/** Sections that are edited: a few stand for all. */
const SECTIONS = 3;

/**
 * @param routine without errors; it stays as it is
 * @param rest lets whatever waits go first
 * @returns edits that were worked out
 */
export async function warmUp(routine: Routine, sounds: Sounds, rest: () => Promise<void>): Promise<number> {
  const work = createWorker();
  let worked = work({ ...routine, sections: routine.sections.slice(0, SECTIONS) });
  const section = routine.sections[0] as Section;
  if (!isWorked(worked)) return 0;
  let piece = pieceOf(worked.sound, worked.performance, 0);
  const player = new Player(
    {
      type: "play",
      play: 0,
      material: { kind: "open", name: routine.title },
      from: null,
      countIn: 0,
      speed: 1,
      loop: null,
      clicks: OFF,
    },
    { send: () => {}, block: () => {} },
    () => piece,
    () => sounds,
  );
  let turn = 0;
  for (; turn < TURNS && !player.ended; turn++) {
    await rest();
    const edit = { kind: "change-section", id: section.id, set: { tempo: otherTempo(section, turn) } };
    const said = { type: "edit", name: routine.title, opId: `warm-up-${turn}`, base: turn, edit };
    const message = messageOf(FromPage, JSON.stringify(said));
    if (message?.type !== "edit") break;
    const applied = applyEdit(worked.routine, message.edit);
    if ("refused" in applied) break;
    const next = work(applied.routine, checkRoutine(applied.routine));
    if (!isWorked(next)) break;
    patchBetween(next.routine, worked.routine);
    await rest();
    JSON.stringify(computedBetween(worked, next));
    worked = next;
    piece = pieceOf(worked.sound, worked.performance, turn);
    await rest();
    player.heard(turn * BLOCK, 0);
    player.refresh();
  }
  return turn;
}

const OFF = { beat: false, record: false, fader: false };

/** A beat a minute faster than the section begins, and back. */
function otherTempo({ tempo }: Section, turn: number): number {
  const own = typeof tempo === "number" ? tempo : tempo.from;
  return turn % 2 === 1 ? own : own < 200 ? own + 1 : own - 1;
}
