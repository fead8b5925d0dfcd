/**
 * What an edit does while its routine plays, done some times for nothing on a copy that is kept nowhere. The engine makes
 * code fast only after it has run a while; so the first change of an evening is seen and heard as soon as the hundredth.
 */

import { blockBytes } from "../../schemas/soundBlock.ts";
import type { SingleEdit } from "../../schemas/edit.ts";
import type { Routine, Section } from "../../schemas/routine.ts";
import { WIRE } from "../../schemas/version.ts";
import { writeRoutine } from "../routine/write.ts";
import { samplesOf } from "../../schemas/rig.ts";
import type { Sounds } from "../sound/inFrames.ts";
import type { Kit } from "../sound/kit.ts";
import { RATE } from "../sound/rate.ts";
import { silentTables } from "../sound/tables.ts";
import type { Connection } from "../web/interfaces.ts";
import { folderNowhere } from "./folderNowhere.ts";
import { Live } from "./live.ts";
import type { Moment } from "./moment.ts";
import { BLOCK, Player } from "./player.ts";
import { pieceOf } from "./program.ts";
import { SILENT } from "../sound/clicksFor.ts";

/** After so many, an edit takes hardly longer than it ever will. */
const TURNS = 24;
/** After so many more turns, of several pages at once, many edits a second find most of their way made fast. */
const MORE = 400;
/** Of so many turns in a row each begins with a routine that was opened just now: what is read differs from what was edited. */
const IN_A_ROW = 40;
const PAGES = 5;
/** Milliseconds between two changes that are heard by nobody: by then somebody may play, and edit. */
const APART = 60;
/** Sections that are edited: a few stand for all. */
const SECTIONS = 8;

type Rest = (milliseconds?: number) => Promise<void>;

/**
 * Edits first, for they are seen also where nothing plays; then how they are heard, of samples without sound; then edits
 * of several pages, for those who make many.
 * @param routine without errors; it stays as it is
 * @param kit with the drums that it strikes
 * @param rest lets whatever waits go first, for so many milliseconds where they are given
 * @returns edits that were made
 */
export async function warmUp(routine: Routine, kit: Kit, rest: Rest): Promise<number> {
  const copy = { ...routine, sections: routine.sections.slice(0, SECTIONS) };
  const name = routine.title;
  let made = 0;
  /** @param to turns @param told each moment that comes of them */
  const edits = async (
    pages: number,
    from: number,
    to: number,
    told: (moment: Moment) => void = () => {},
  ): Promise<void> => {
    const live = new Live(folderNowhere(name, writeRoutine(copy)), TIMELESS, () => "", {
      handFirst: () => {},
    });
    const open = await live.open(name);
    const by = Array.from({ length: pages }, () => pageOn(live, name));
    told(open.present);
    open.watch({ changed: () => told(open.present), saved: () => {}, replaced: () => {} });
    for (let turn = from; turn < to; turn++) {
      await rest();
      const { rev, routine: now } = open.present;
      for (const [index, page] of by.entries()) {
        // Of another kind, and mostly of another section, than what the others change at the same moment.
        const edit = editOf(now, copy, turn + 9 * index);
        say(page, { type: "edit", name, opId: `warm-up-${turn}-${index}`, base: rev, edit });
      }
      await open.settled();
    }
    made += open.present.rev;
    await live.close();
  };
  await rest();
  const moments: Moment[] = [];
  await edits(1, 0, TURNS, (moment) => moments.push(moment));
  await rest();
  await heardAnew(name, moments.splice(0), silent(routine, kit), rest);
  for (let turn = 0; turn < MORE; turn += IN_A_ROW) await edits(PAGES, turn, turn + IN_A_ROW);
  return made;
}

const TIMELESS = { now: Date.now, after: () => () => {} };

/** @param message `FromPage` */
const say = (page: Connection, message: object): void => page.onMessage(JSON.stringify(message));

/** A page that nobody looks at: what edits another one makes are told to it too. */
function pageOn(live: Live, name: string): Connection {
  const connection: Connection = {
    id: 0,
    path: "/live",
    hello: JSON.stringify({ type: "hello", wire: WIRE, token: "" }),
    waiting: 0,
    send: () => true,
    close: () => {},
    onMessage: () => {},
    onClose: () => {},
  };
  live.onClient(connection);
  say(connection, { type: "open", ask: 1, name });
  return connection;
}

/** Tempo, pitch, place and title in turn, each another and then as it was. */
function editOf({ sections }: Routine, copy: Routine, turn: number): SingleEdit {
  const index = (turn >> 3) % sections.length;
  const section = sections[index] as Section;
  const own = copy.sections[index] as Section;
  const back = (turn & 4) !== 0;
  const [expected, first] = [section.placements[0], own.placements[0]];
  switch (turn & 3) {
    case 0:
      return { kind: "change-section", id: section.id, set: { tempo: back ? own.tempo : otherTempo(own) } };
    case 1:
      // With a fraction: the engine learns at once that not all of these numbers are whole.
      return {
        kind: "change-section",
        id: section.id,
        set: { pitch: back ? (own.pitch ?? null) : otherPitch(own) },
      };
    case 2: {
      if (expected === undefined || first === undefined) break;
      const to = back ? first : { ...first, at: first.at === "1/16" ? "1/8" : "1/16" };
      return {
        kind: "change-placements",
        changes: [{ placement: { section: section.id, index: 0, expected }, to }],
      };
    }
  }
  return { kind: "title", title: `${copy.title} ${turn}` };
}

/** A quarter of a per cent nearer to none. */
const otherPitch = ({ pitch = 0 }: Section): number => (pitch > 0 ? pitch - 0.25 : pitch + 0.25);

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
