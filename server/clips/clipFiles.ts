/**
 * All the files of a routine: for each section a clip a strand (and a player, where there are several), the lead-in
 * as number 00, and the whole routine with all strands. The same routine gives the same bytes.
 */
import type { Performance } from "../../schemas/performance.ts";
import { isWords, type Routine } from "../../schemas/routine.ts";
import { repeatsEvery, sampleOf } from "../routine/lookups.ts";
import type { Fraction } from "../time/fraction.ts";
import { timelineOf } from "../time/timeline.ts";
import { clockOf, exactResolution, MOST_TICKS } from "./clock.ts";
import { type Content, contentOf, type PlayerContent } from "./content.ts";
import { clipName, slug } from "./names.ts";
import { STRANDS, type Strand } from "./strand.ts";
import { type Sources, strandEvents, type Window } from "./strands.ts";
import { leadInTempo, markerEvent, meterEvent, nameEvent, tempoEvents } from "./tempo.ts";
import { midiFile, type Track } from "./write.ts";

export const DEFAULT_PPQ = 960;

export interface ClipFile {
  readonly name: string;
  readonly bytes: Uint8Array;
  /** Index of the section; -1 for the lead-in, null for the whole routine. */
  readonly section: number | null;
  /** Null for the whole routine. */
  readonly strand: Strand | null;
  readonly player: number | null;
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

export interface ClipOptions {
  /** Ticks a quarter, or the smallest number that puts every event on a tick. */
  readonly ppq?: number | "exact";
}

/** No number of ticks that a MIDI file can hold puts every event on a tick. */
export class NoExactResolution extends Error {
  constructor() {
    super(
      `No resolution up to ${MOST_TICKS} ticks a quarter puts every event on a tick. Choose 960: each event is then at most half a tick off.`,
    );
  }
}

/** The musical moments of a routine: all that falls on a tick or not. Curves stand on ticks of their own. */
function* moments(content: Content, clock: ReturnType<typeof clockOf>): Generator<Fraction> {
  for (const { sounds, strokes, openings, recordGroups, faderGroups } of content.players) {
    for (const list of [sounds, strokes, openings]) {
      for (const { start, end } of list) {
        yield clock.exact(start, "hands");
        yield clock.exact(end, "hands");
      }
    }
    for (const at of [...recordGroups, ...faderGroups]) yield clock.exact(at, "hands");
  }
  for (const { at } of content.beat) yield clock.exact(at, "beat");
}

export function clipFiles(
  routine: Routine,
  performance: Performance,
  { ppq: asked = DEFAULT_PPQ }: ClipOptions = {},
): Clips {
  const { sections } = performance;
  const content = contentOf(performance, (section, placement) => {
    const placed = routine.sections[section]?.placements[placement];
    return repeatsEvery(
      sampleOf(routine.rig, placed === undefined || isWords(placed) ? undefined : placed.sample),
    );
  });
  const probe = clockOf(routine, performance, DEFAULT_PPQ);
  const ppq = asked === "exact" ? exactResolution(moments(content, probe)) : asked;
  if (ppq === null) throw new NoExactResolution();
  const clock = clockOf(routine, performance, ppq);
  const sources: Sources = {
    routine,
    performance,
    content,
    clock,
    timeline: timelineOf(routine.sections, sections),
  };
  const hands: readonly PlayerContent[] = content.players.length > 0 ? content.players : [NO_HANDS];
  const several = hands.length > 1;
  const voices = STRANDS.flatMap((strand) =>
    (strand === "beat" ? hands.slice(0, 1) : hands).map((player) => ({
      strand,
      player,
      word: several && strand !== "beat" ? `${strand}-p${player.player}` : strand,
    })),
  );
  let leftOut = 0;
  const track = (strand: Strand, player: PlayerContent, window: Window): Track => {
    const origin = clock.tick(window.from, "straight");
    const end = clock.tick(window.to, "straight") - origin;
    const { events, leftOut: more } = strandEvents(strand, sources, player, window, { origin, length: end });
    leftOut += more;
    return { events, end };
  };

  const files: ClipFile[] = [];
  const addClips = (
    index: number,
    window: Window,
    bars: number,
    tempo: Routine["sections"][number]["tempo"],
    id: string,
    title: string,
  ): void => {
    const { meter } = routine.sections[Math.max(0, index)] as Routine["sections"][number];
    for (const { strand, player, word } of voices) {
      const { events, end } = track(strand, player, window);
      const section = sections[index];
      const tempos =
        section === undefined || index < 0
          ? [leadInTempo(routine.sections[0] as Routine["sections"][number])]
          : tempoEvents(
              routine.sections[index] as Routine["sections"][number],
              section.performance.length,
              0,
              ppq,
            );
      const [first, ...rest] = tempos;
      const head = [
        nameEvent(`${title}: ${word}`),
        ...(first === undefined ? [] : [first]),
        meterEvent(0, meter),
        ...rest,
      ];
      files.push({
        name: `${clipName({ number: index + 1, section: id, strand: word, bars, tempo, meter }, sections.length)}.mid`,
        bytes: midiFile(0, ppq, [{ events: [...head, ...events], end }]),
        section: index,
        strand,
        player: strand === "beat" ? null : player.player,
      });
    }
  };

  const start = sections[0]?.start ?? 0;
  if (performance.leadInBars > 0) {
    const first = routine.sections[0] as Routine["sections"][number];
    const tempo = typeof first.tempo === "number" ? first.tempo : first.tempo.from;
    addClips(-1, { from: 0, to: start }, performance.leadInBars, tempo, "lead-in", "Lead-in");
  }
  for (const [index, section] of sections.entries()) {
    const { id, name, bars, tempo } = routine.sections[index] as Routine["sections"][number];
    addClips(index, { from: section.start, to: section.end }, bars, tempo, id, name ?? id);
  }
  const leftOutOfClips = leftOut;

  const whole = { from: 0, to: performance.end };
  const map = [nameEvent(routine.title), ...tempoMap(sources, ppq)];
  const tracks = voices.map(({ strand, player, word }) => {
    const { events, end } = track(strand, player, whole);
    return { events: [nameEvent(word), ...events], end };
  });
  files.push({
    name: `whole_${slug(routine.title)}.mid`,
    bytes: midiFile(1, ppq, [{ events: map, end: clock.tick(performance.end, "straight") }, ...tracks]),
    section: null,
    strand: null,
    player: null,
  });

  const wide = BigInt(ppq);
  let exact = true;
  for (const { d } of moments(content, clock)) exact &&= wide % d === 0n;
  return { files, ppq, exact, leftOut: leftOutOfClips };
}

const NO_HANDS: PlayerContent = {
  player: 1,
  sounds: [],
  strokes: [],
  openings: [],
  recordGroups: [],
  faderGroups: [],
  repeats: [],
};

/** Tempo, metres and a marker at each section's start. */
function tempoMap({ routine, performance, clock }: Sources, ppq: number) {
  const first = routine.sections[0] as Routine["sections"][number];
  const leadIn =
    performance.leadInBars === 0
      ? []
      : [leadInTempo(first), meterEvent(0, first.meter), markerEvent(0, "Lead-in")];
  let meter = performance.leadInBars === 0 ? "" : first.meter;
  return [
    ...leadIn,
    ...performance.sections.flatMap(({ start, performance: { length } }, index) => {
      const section = routine.sections[index] as Routine["sections"][number];
      const tick = clock.tick(start, "straight");
      const changes = meter !== section.meter;
      meter = section.meter;
      return [
        ...tempoEvents(section, length, tick, ppq),
        ...(changes ? [meterEvent(tick, section.meter)] : []),
        markerEvent(tick, section.name ?? section.id),
      ];
    }),
  ];
}
