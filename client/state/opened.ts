/** The routine as the server last said it, and as a draft would make it: one value, replaced, never changed. */
import type { PatternFacts, SectionFacts } from "../../schemas/facts.ts";
import { applyFacts } from "../../schemas/factsPatch.ts";
import { unpackSection } from "../../schemas/packed.ts";
import { applyPatch, applySplice, type Patch } from "../../schemas/patch.ts";
import type { Performance, SectionPerformance, TimedSection } from "../../schemas/performance.ts";
import type { Problem } from "../../schemas/problem.ts";
import type { Routine } from "../../schemas/routine.ts";
import type { Seconds, Units } from "../../schemas/units.ts";
import type { ServerMessage, Timing } from "../../schemas/wire.ts";

export interface Opened {
  readonly name: string;
  readonly epoch: string;
  readonly rev: number;
  readonly routine: Routine;
  readonly performance: Performance;
  readonly timing: Timing;
  readonly performances: ReadonlyMap<string, SectionPerformance>;
  readonly sectionFacts: ReadonlyMap<string, SectionFacts>;
  readonly patternFacts: ReadonlyMap<string, PatternFacts>;
  readonly problems: readonly Problem[];
  readonly leftOut: ReadonlySet<string>;
  readonly undo: string | null;
  readonly redo: string | null;
  readonly notices: readonly string[];
  /** Sections of a long routine whose performance is still on its way; until then they are drawn empty. */
  readonly coming: number;
}

type Computed = Pick<
  ServerMessage<"changed">,
  "patch" | "timing" | "sections" | "sectionFacts" | "patternFacts" | "problems" | "leftOut"
>;

function performanceOf(
  timing: Timing,
  performances: ReadonlyMap<string, SectionPerformance>,
  routine: Routine,
): Performance {
  const sections = timing.ids.map((id, index): TimedSection => {
    const start = timing.start[index] as Units;
    const end = timing.end[index] as Units;
    return {
      start,
      end,
      startSeconds: timing.startSeconds[index] as Seconds,
      endSeconds: timing.endSeconds[index] as Seconds,
      performance: performances.get(id) ?? emptyOf(id, end - start, routine.sections[index]?.bars ?? 1),
    };
  });
  const last = sections.at(-1);
  return {
    sections,
    leadInBars: timing.leadInBars,
    end: last?.end ?? (0 as Units),
    endSeconds: last?.endSeconds ?? (0 as Seconds),
  };
}

const empties = new Map<string, SectionPerformance>();
/** Bars with nothing in them, the same object for the same section. */
function emptyOf(id: string, length: number, bars: number): SectionPerformance {
  const key = `${id} ${length} ${bars}`;
  const known = empties.get(key);
  if (known !== undefined) return known;
  const empty: SectionPerformance = {
    id,
    length: length as Units,
    bar: (length / bars) as Units,
    strokes: [],
    openings: [],
    sounds: [],
    beat: [],
    beatLength: 0 as Units,
    beatPhase: 0 as Units,
    placed: [],
  };
  empties.set(key, empty);
  return empty;
}

const byId = <Item extends { readonly id: string }>(items: readonly Item[]): [string, Item][] =>
  items.map((item) => [item.id, item]);

/** The same with copies of what is heard in a section: it is drawn anew, and comes out as it was. */
export function copied(opened: Opened, section: string): Opened {
  const one = opened.performances.get(section);
  if (one === undefined) return { ...opened };
  const performances = new Map(opened.performances).set(section, { ...one });
  return { ...opened, performances, performance: performanceOf(opened.timing, performances, opened.routine) };
}

export function openedFrom(message: Omit<ServerMessage<"routine">, "type" | "saved">): Opened {
  const performances = new Map(byId(message.sections.map(unpackSection)));
  return {
    name: message.name,
    epoch: message.epoch,
    rev: message.rev,
    routine: message.routine,
    performance: performanceOf(message.timing, performances, message.routine),
    timing: message.timing,
    performances,
    sectionFacts: new Map(byId(message.sectionFacts)),
    patternFacts: new Map(byId(message.patternFacts)),
    problems: message.problems,
    leftOut: new Set(message.leftOut),
    undo: message.undo,
    redo: message.redo,
    notices: message.notices,
    coming: message.timing.ids.length - performances.size,
  };
}

/** With the sections that came after; messages of another revision are passed over. */
export function withMore(opened: Opened, messages: readonly ServerMessage<"sections">[]): Opened {
  const ours = messages.filter(({ epoch, rev }) => epoch === opened.epoch && rev === opened.rev);
  const more = ours.flatMap(({ sections }) => sections.map(unpackSection));
  const performances = merged(opened.performances, more, opened.routine.sections);
  return {
    ...opened,
    performances,
    performance: performanceOf(opened.timing, performances, opened.routine),
    sectionFacts: merged(
      opened.sectionFacts,
      ours.flatMap(({ sectionFacts }) => sectionFacts),
      opened.routine.sections,
    ),
    patternFacts: merged(
      opened.patternFacts,
      ours.flatMap(({ patternFacts = [] }) => patternFacts),
      opened.routine.patterns,
    ),
    problems: ours.find(({ problems }) => problems !== undefined)?.problems ?? opened.problems,
    coming: ours.at(-1)?.left ?? opened.coming,
  };
}

/** Names in the routine stay, the others go; what the message brings is new. */
function merged<Item extends { readonly id: string }>(
  before: ReadonlyMap<string, Item>,
  changed: readonly Item[],
  present: readonly { readonly id: string }[],
): ReadonlyMap<string, Item> {
  const all = new Map([...before, ...byId(changed)]);
  return new Map(present.flatMap(({ id }) => (all.has(id) ? [[id, all.get(id)!] as const] : [])));
}

/** What `opened` becomes. @throws Error where the patch is of another routine */
export function withComputed(opened: Opened, computed: Computed): Opened {
  const routine = applyPatch(opened.routine, computed.patch as Patch);
  const performances = merged(opened.performances, computed.sections.map(unpackSection), routine.sections);
  const timing = computed.timing ?? opened.timing;
  // What is not known whole yet comes whole with its section.
  const facts = computed.sectionFacts.flatMap(
    (patch) => applyFacts(opened.sectionFacts.get(patch.id), patch) ?? [],
  );
  return {
    ...opened,
    routine,
    performances,
    timing,
    performance: performanceOf(timing, performances, routine),
    sectionFacts: merged(opened.sectionFacts, facts, routine.sections),
    patternFacts: merged(opened.patternFacts, computed.patternFacts, routine.patterns),
    problems: applySplice(opened.problems, computed.problems),
    leftOut: new Set(computed.leftOut),
  };
}

/** @returns null where the message does not follow from what we have: the whole is to be asked for. */
export function withChanged(opened: Opened, message: ServerMessage<"changed">): Opened | null {
  if (message.epoch !== opened.epoch || message.from !== opened.rev) return null;
  return { ...withComputed(opened, message), rev: message.rev, undo: message.undo, redo: message.redo };
}
