/**
 * All the files of a routine: for each section a clip a strand (and a player, where there are several), the lead-in
 * as number 00, and the whole routine with all strands. The same routine gives the same bytes.
 */
import type { Performance } from "../../schemas/performance.ts";
import type { Routine, Section } from "../../schemas/routine.ts";
import type { Units } from "../../schemas/units.ts";
import { called } from "../routine/called.ts";
import { startingTempo } from "../time/tempo.ts";
import { noHands } from "./content.ts";
import { Events } from "./events.ts";
import { type ClipOptions, type Making, makingOf, remembered, ticksFrom } from "./making.ts";
import { midiFile } from "./midiFile.ts";
import { clipName, sectionWord, slug } from "./names.ts";
import { allOnTicks } from "./resolution.ts";
import type { Strand } from "./strand.ts";
import { addStrand } from "./strands.ts";
import { addMeter, addName, addTempo } from "./tempo.ts";
import { wholeTracks } from "./whole.ts";
import type { ClipWindow } from "./windows.ts";

export interface ClipFile {
  readonly name: string;
  readonly bytes: Uint8Array;
  /** Index of the section; -1 for the lead-in, null for the whole routine. */
  readonly section: number | null;
  /** Null for the whole routine. */
  readonly strand: Strand | null;
  readonly player: number | null;
  /** Whether every moment of its section fell on a tick exactly. */
  readonly exact: boolean;
}

export interface Clips {
  readonly files: readonly ClipFile[];
  /** Ticks a quarter. */
  readonly ppq: number;
  /** Whether every event fell on a tick exactly. */
  readonly exact: boolean;
  /** Notes of all clips that had no room: two of one key within two ticks. */
  readonly leftOut: number;
}

interface Made {
  readonly files: readonly ClipFile[];
  readonly leftOut: number;
}

/** Of the time that all files take: the sections' own; the rest goes into the whole. */
const SECTIONS = 0.55;

export function clipFiles(routine: Routine, performance: Performance, options: ClipOptions = {}): Clips {
  const making = makingOf(routine, performance, options);
  const { windows, ppq, encoding, voices } = making;
  const { leadInBars } = performance;
  // Everything beside the window that goes into a clip's bytes or name.
  const manner = JSON.stringify([encoding, ppq, voices.map(({ word }) => word)]);
  const width = performance.sections.length;
  const made = windows.map((window, index) => {
    options.tell?.((SECTIONS * index) / windows.length);
    return remembered(
      window.kept,
      `clips ${manner} ${window.index} ${String(width).length} ${leadInBars}`,
      () => clipsOf(making, window),
    );
  });
  const denominators = windows.flatMap((window) => [...window.denominators]);
  const exact = allOnTicks(denominators, ppq);
  const whole: ClipFile = {
    name: `whole_${slug(routine.title)}.mid`,
    bytes: midiFile(
      1,
      ppq,
      wholeTracks(making, (done) => options.tell?.(SECTIONS + (1 - SECTIONS) * done)),
    ),
    section: null,
    strand: null,
    player: null,
    exact,
  };
  return {
    files: [...made.flatMap(({ files }) => files), whole],
    ppq,
    exact,
    leftOut: made.reduce((sum, { leftOut }) => sum + leftOut, 0),
  };
}

/** The clips of one window, a strand each. */
function clipsOf(making: Making, window: ClipWindow): Made {
  const { routine, performance, encoding, ppq, voices } = making;
  const { index, from, content, denominators } = window;
  const length = (window.to - from) as Units;
  const section = routine.sections[Math.max(0, index)] as Section;
  const { meter } = section;
  const leadIn = index < 0;
  const bars = leadIn ? performance.leadInBars : section.bars;
  const tempo = leadIn ? startingTempo(section.tempo) : section.tempo;
  const [id, title] = leadIn ? ["lead-in", "Lead-in"] : [sectionWord(section), called(section)];
  const here = ticksFrom(making.clock, from);
  const end = here.tick(length, "straight") - here.tick(0, "straight");
  const exact = allOnTicks(denominators, ppq);
  let leftOut = 0;
  const files = voices.map(({ strand, player, word }): ClipFile => {
    const events = new Events();
    addName(events, `${title}: ${word}`);
    addTempo(events, { tempo }, length, 0, ppq);
    addMeter(events, 0, meter);
    leftOut += addStrand(
      strand,
      {
        encoding,
        clock: here,
        window: { from: 0, to: length },
        meters: [{ from: 0, to: length, meter }],
        player: content.players.get(player) ?? noHands(player),
        beat: content.beat,
        curves: () => [{ at: 0, curve: making.curve(window, player) }],
      },
      events,
    );
    const name = clipName(
      { number: index + 1, section: id, strand: word, bars, tempo, meter },
      performance.sections.length,
    );
    return {
      name: `${name}.mid`,
      bytes: midiFile(0, ppq, [{ events, end }]),
      section: index,
      strand,
      player: strand === "beat" ? null : player,
      exact,
    };
  });
  return { files, leftOut };
}
