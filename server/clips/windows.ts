/**
 * The windows that clips are cut from, a section each and the lead-in, with what sounds in them. Kept from one time to
 * the next where nothing that a window uses is another value, so that an edit costs what it touches; positions count
 * from the window's start, so that one that only moved stays what it is.
 */
import type { Performance, SectionPerformance } from "../../schemas/performance.ts";
import type { Routine } from "../../schemas/routine.ts";
import { sameItems } from "../../schemas/sameItems.ts";
import { type Content, contentOf } from "./content.ts";
import { positionSteps } from "./curve.ts";
import { denominatorsOf } from "./resolution.ts";
import { clockOf } from "./ticks.ts";
import { Memory } from "../../schemas/memory.ts";

export interface ClipWindow {
  /** Index of the section; -1 for the lead-in. */
  readonly index: number;
  /** Units from the start of the routine. */
  readonly from: number;
  readonly to: number;
  /** What sounds in it, and what its sections sound after it. */
  readonly content: Content;
  /** Where each player's record stands at its start, in steps of the position; not there where it never moved. */
  readonly left: ReadonlyMap<number, number>;
  /** Lower numbers of the positions, in quarters, of all moments of its sections. */
  readonly denominators: ReadonlySet<bigint>;
  /** What was made of it, by whatever it was made with; goes when the window becomes another. */
  readonly kept: Map<string, unknown>;
}

/** Windows of one routine; one for every routine that is followed. */
export type WindowMemory = Map<string, { readonly uses: readonly unknown[]; readonly window: ClipWindow }>;

const reaches = new Memory<SectionPerformance, number>();
/** Units from its start to its first event: negative with a pickup, else 0. */
function reachOf(section: SectionPerformance): number {
  let reach = reaches.get(section);
  if (reach === undefined) {
    const { strokes, openings, sounds, placed } = section;
    const firsts = [strokes[0], openings[0], sounds[0]].map((one) => one?.start ?? 0);
    const groups = placed.flatMap((one) => [one.recordGroups[0] ?? 0, one.faderGroups[0] ?? 0]);
    reach = Math.min(0, ...firsts, ...groups);
    reaches.set(section, reach);
  }
  return reach;
}

export function windowsOf(routine: Routine, performance: Performance, memory: WindowMemory): ClipWindow[] {
  const timed = (index: number) => performance.sections[index] as Performance["sections"][number];
  const section = (index: number) => routine.sections[Math.max(0, index)];
  const clock = clockOf(routine, performance, 8);
  const spans = performance.sections.map(({ start, end }, index) => ({
    index,
    from: start as number,
    to: end as number,
  }));
  if (performance.leadInBars > 0) spans.unshift({ index: -1, from: 0, to: spans[0]?.from ?? 0 });
  const leadIn = spans.length - performance.sections.length;

  /** Sections whose pickup sounds in each span. */
  const pickups: number[][] = spans.map(() => []);
  const earliest = performance.sections.map(({ start, performance: own }, index) => {
    const reach = start + reachOf(own);
    for (let at = index + leadIn - 1; at >= 0 && (spans[at]?.to ?? 0) > reach; at--) pickups[at]?.push(index);
    return reach;
  });

  const left = new Map<number, number>();
  const used = new Set<string>();
  const windows = spans.map(({ index, from, to }, at): ClipWindow => {
    const owners = [...(index < 0 ? [] : [index]), ...(pickups[at] as number[])];
    const reach = Math.min(from, ...owners.map((one) => earliest[one] as number));
    // A stroke that began before goes by the tempo and swing of where it began.
    const before = [];
    for (let one = at - 1; one >= 0 && (spans[one]?.to ?? 0) > reach; one--) before.push(spans[one]);
    const uses = [
      routine.rig,
      section(index),
      to - from,
      ...owners.flatMap((one) => [section(one), timed(one).performance, timed(one).start - from]),
      ...before.flatMap((span) => [section(span?.index ?? 0), from - (span?.from ?? 0)]),
      [...left].join(" "),
    ];
    const name = index < 0 ? "" : timed(index).performance.id;
    used.add(name);
    const known = memory.get(name);
    let window: ClipWindow;
    if (known !== undefined && sameItems(known.uses, uses)) window = { ...known.window, index, from, to };
    else {
      const content = contentOf(routine, performance, owners, from);
      const denominators = denominatorsOf(content, clock, from);
      window = { index, from, to, content, left: new Map(left), denominators, kept: new Map() };
      memory.set(name, { uses, window });
    }
    for (const { player, strokes } of window.content.players.values()) {
      const last = strokes.findLast(({ start }) => start < to - from);
      if (last !== undefined) left.set(player, positionSteps(last.to, last.repeat));
    }
    return window;
  });
  for (const name of memory.keys()) if (!used.has(name)) memory.delete(name);
  return windows;
}
