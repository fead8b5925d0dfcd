/**
 * Random histories of several pages on one routine: edits, undo, redo, lost connections, slow pages, and a server that
 * dies. In the end every replica must be the sequential replay of the journal, and every acknowledged edit must stand
 * in it exactly once.
 */
import { isDeepStrictEqual } from "node:util";
import type { Edit } from "../../schemas/edit.ts";
import { packSection } from "../../schemas/packed.ts";
import type { Routine } from "../../schemas/routine.ts";
import type { FromPage } from "../../schemas/wire.ts";
import { Live } from "../../server/live/live.ts";
import { bringForward } from "../../server/live/journalledEdit.ts";
import { createWorker, isWorked, readForEditing } from "../../server/live/worked.ts";
import { applyEdit } from "../../server/routine/edit.ts";
import { seeded } from "../../server/sound/random.ts";
import type { EditRecord } from "../../server/store/interfaces.ts";
import { HandClock, MemoryFolder } from "./memoryFolder.ts";
import { settle, TestPage } from "./replica.ts";

export const NAME = "Slipway";
export const START: Routine = {
  format: "countercut-routine",
  version: 1,
  title: "Slipway",
  patterns: [
    {
      id: "haul",
      record: { step: "1/8", strokes: [{ move: "forward" }, { move: "back" }, { move: "hold" }] },
      fader: { step: "1/8", cells: [{ fader: "click" }, { fader: "open" }] },
    },
  ],
  beats: [],
  sections: [
    { id: "one", bars: 4, meter: "4/4", tempo: 90, placements: [{ pattern: "haul", bar: 1 }] },
    { id: "two", bars: 2, meter: "3/4", tempo: 90, placements: [{ words: "Breathe", bar: 1 }] },
  ],
};

type Sent = Extract<FromPage, { opId: string }>;

/** A page with its own unanswered edits, which it sends again when it comes back. */
export interface Person {
  readonly page: TestPage;
  readonly pending: Map<string, Sent>;
  /** With what was sent, and the revision that the acknowledgement named. */
  readonly acknowledged: Map<string, { readonly sent: Sent | undefined; readonly rev: number }>;
  /** With what was sent, and the newest revision that was known to the answer. */
  readonly turnedDown: Map<
    string,
    { readonly is: "stale" | "refused"; readonly sent: Sent | undefined; readonly rev: number }
  >;
  read: number;
}

export function hear(person: Person): void {
  for (; person.read < person.page.got.length; person.read++) {
    const message = person.page.got[person.read]!;
    if (message.type !== "ack" && message.type !== "stale" && message.type !== "refused") continue;
    const { opId, rev } = message;
    const known = person.acknowledged.get(opId) ?? person.turnedDown.get(opId);
    const sent = person.pending.get(opId) ?? known?.sent;
    person.pending.delete(opId);
    if (message.type === "ack") person.acknowledged.set(opId, { sent, rev });
    else person.turnedDown.set(opId, { is: message.type, sent, rev });
  }
}

function someEdit(random: (below: number) => number, routine: Routine, mark: string): object {
  const section = routine.sections[random(routine.sections.length)]!;
  const index = random(Math.max(1, section.placements.length));
  const there = section.placements[index];
  switch (random(there === undefined ? 5 : 8)) {
    case 0:
      return { kind: "title", title: mark };
    case 1:
      return {
        kind: "change-section",
        id: section.id,
        set: { tempo: 60 + random(100), bars: 1 + random(6) },
      };
    case 2:
      return {
        kind: "add-section",
        section: { ...START.sections[0], id: mark, name: mark },
        before: section.id,
      };
    case 3:
      return { kind: "remove-section", id: section.id };
    case 4:
      return {
        kind: "add-placements",
        section: section.id,
        placements: [{ pattern: "haul", bar: 1 + random(4), lasts: { bars: 1 } }],
      };
    case 5:
      return { kind: "remove-placements", placements: [{ section: section.id, index, expected: there }] };
    case 6: {
      const to = { ...there, bar: 1 + random(5) };
      return {
        kind: "change-placements",
        changes: [{ placement: { section: section.id, index, expected: there }, to }],
      };
    }
    default:
      return {
        kind: "batch",
        edits: [
          { kind: "title", title: mark },
          { kind: "move-section", id: section.id, before: null },
        ],
      };
  }
}

/** Runs one history. @returns what went wrong, or null */
export async function history(seed: number, steps = 40): Promise<string | null> {
  const chance = seeded(seed);
  const random = (below: number): number => Math.floor(chance() * below);
  const folder = new MemoryFolder();
  const clock = new HandClock();
  folder.disk.delay = async () => {
    for (let turn = random(4); turn > 0; turn--) await new Promise((resolve) => setImmediate(resolve));
  };
  let live = new Live(folder, clock, () => "");
  await folder.create(NAME, JSON.stringify(START));
  const people: Person[] = Array.from({ length: 2 + random(3) }, () => ({
    page: new TestPage(live),
    pending: new Map(),
    acknowledged: new Map(),
    turnedDown: new Map(),
    read: 0,
  }));
  const enter = (person: Person): void => {
    const { page } = person;
    page.waiting = 0;
    page.connect(live);
    const have = page.replica === null ? {} : { have: { epoch: page.replica.epoch, rev: page.replica.rev } };
    page.say({ type: "open", ask: 1, name: NAME, ...have });
  };
  for (const person of people) enter(person);
  await settle();
  let ops = 0;
  /** How many edits there were at each start of the server: it knows of no base before. */
  const restarts: number[] = [];
  const act = (person: Person): void => {
    const { replica, connected } = person.page;
    if (!connected || replica === null) return;
    const opId = `seed-${seed}-op-${++ops}`;
    const base = replica.rev;
    const kind = random(6);
    const message = (
      kind < 4
        ? {
            type: "edit",
            name: NAME,
            opId,
            base,
            edit: someEdit(random, replica.routine, `mark-${ops}`),
            ...(random(3) === 0 ? { replayed: true } : {}),
          }
        : { type: kind === 4 ? "undo" : "redo", name: NAME, opId, base }
    ) as Sent;
    person.pending.set(opId, message);
    person.page.say(message);
  };
  const leave = (person: Person): void => {
    hear(person);
    person.page.disconnect();
  };
  const comeBack = async (person: Person): Promise<void> => {
    enter(person);
    await settle();
    hear(person);
    for (const message of person.pending.values()) person.page.say(message);
  };
  for (let step = 0; step < steps; step++) {
    const person = people[random(people.length)]!;
    const what = random(20);
    if (what < 12) act(person);
    else if (what < 14) leave(person);
    else if (what < 17) {
      if (!person.page.connected) await comeBack(person);
    } else if (what === 17) person.page.waiting = random(2) * 300_000;
    else if (what === 18) clock.pass(1 + random(2_500));
    else {
      // The server dies: nothing that is not on disk is left, and every connection is gone.
      for (const one of people) leave(one);
      folder.restart(random(2) === 0);
      restarts.push(folder.files.get(NAME)!.records.length);
      live = new Live(folder, clock, () => "");
    }
    if (random(3) > 0) await new Promise((resolve) => setImmediate(resolve));
    hear(person);
  }
  for (const person of people) {
    person.page.waiting = 0;
    if (!person.page.connected) await comeBack(person);
  }
  // Long enough for every append that waits for the disk.
  for (let turn = 0; turn < 20; turn++) {
    await settle();
    clock.pass(50);
    for (const person of people) hear(person);
  }
  return verdict(folder, people, restarts);
}

export function verdict(
  folder: MemoryFolder,
  people: readonly Person[],
  restarts: readonly number[] = [],
): string | null {
  const records = folder.files.get(NAME)!.records;
  const read = readForEditing(JSON.stringify(START));
  if (!("routine" in read)) return "the start cannot be read";
  const replayed = records.reduce(bringForward, read.routine);
  const states = [read.routine];
  for (const record of records) states.push(bringForward(states.at(-1)!, record));
  const worked = createWorker()(replayed);
  if (!isWorked(worked)) return "what was journalled cannot be compiled";
  const sections = worked.performance.sections.map(({ performance }) => packSection(performance));
  const ids = records.map(({ opId }) => opId);
  if (new Set(ids).size < ids.length) return "an edit stands in the journal twice";
  for (const [index, { page, pending, acknowledged, turnedDown }] of people.entries()) {
    if (pending.size > 0) return `page ${index} waits for an answer to ${[...pending.keys()]}`;
    const { replica } = page;
    if (replica === null) return `page ${index} has nothing`;
    if (replica.rev !== records.length) return `page ${index} is at ${replica.rev}, not ${records.length}`;
    if (!isDeepStrictEqual(replica.routine, replayed)) return `page ${index} has another routine`;
    if (!isDeepStrictEqual([...replica.sections.values()], sections))
      return `page ${index} has another performance`;
    if (!isDeepStrictEqual(replica.problems, worked.problems)) return `page ${index} has other problems`;
    const facts = worked.facts.sections.map(({ id }) => page.facts.get(id));
    if (!isDeepStrictEqual(facts, worked.facts.sections)) return `page ${index} has other facts`;
    const lost = [...acknowledged.keys()].find(
      (id) => !ids.includes(id) && !isQuiet(acknowledged.get(id), read.routine, records),
    );
    const crept = [...turnedDown.keys()].find((id) => ids.includes(id));
    if (crept !== undefined) return `${crept} was turned down and is in the journal`;
    if (lost !== undefined) return `${lost} was acknowledged and is not in the journal`;
    for (const [opId, { sent, rev }] of acknowledged)
      if (ids.includes(opId) && !isOnTime(sent, rev, states))
        return `${opId} was acknowledged over an edit that it did not know and that touched the same`;
    for (const [opId, { is, sent, rev }] of turnedDown)
      if (is === "stale" && !isLate(sent, rev, states, restarts))
        return `${opId} met no other edit and is stale`;
  }
  return null;
}

/** What two routines differ in, found by value: fields, things of lists, and the order of lists. */
function differences(from: Routine, to: Routine): Set<string> {
  const found = new Set<string>();
  for (const field of new Set([...Object.keys(from), ...Object.keys(to)]) as Set<keyof Routine>) {
    const [before, after] = [from[field], to[field]];
    if (isDeepStrictEqual(before, after)) continue;
    if (field !== "patterns" && field !== "beats" && field !== "sections") {
      found.add(field);
      continue;
    }
    const byId = (routine: Routine) => new Map(routine[field].map((one) => [one.id, one]));
    const [old, now] = [byId(from), byId(to)];
    if (!isDeepStrictEqual([...old.keys()], [...now.keys()])) found.add(field);
    for (const id of new Set([...old.keys(), ...now.keys()]))
      if (!isDeepStrictEqual(old.get(id), now.get(id))) found.add(`${field} ${id}`);
  }
  return found;
}

/** Undo and redo are of the newest revision; an edit touches nothing that was touched since its base. */
function isOnTime(sent: Sent | undefined, rev: number, states: readonly Routine[]): boolean {
  if (sent === undefined || (sent.type === "edit" && sent.replayed === true)) return true;
  if (sent.type !== "edit") return sent.base === rev - 1;
  const own = differences(states[rev - 1]!, states[rev]!);
  for (let at = sent.base + 1; at < rev; at++)
    for (const name of differences(states[at - 1]!, states[at]!)) if (own.has(name)) return false;
  return true;
}

/** @param rev the newest when the answer left: the edit came at that one or at an earlier one */
function isLate(
  sent: Sent | undefined,
  rev: number,
  states: readonly Routine[],
  restarts: readonly number[],
): boolean {
  if (sent === undefined) return true;
  const { base } = sent;
  if (sent.type !== "edit" || base > rev || restarts.some((start) => start > base)) return rev !== base;
  const others = new Set<string>();
  for (let at = base + 1; at <= rev; at++) {
    for (const name of differences(states[at - 1]!, states[at]!)) others.add(name);
    const applied = applyEdit(states[at]!, sent.edit as Edit);
    if ("refused" in applied) return true;
    for (const name of differences(states[at]!, applied.routine)) if (others.has(name)) return true;
  }
  return false;
}

/** An edit that changed nothing is acknowledged at the revision it was made on, and not journalled. */
function isQuiet(
  acknowledged: { readonly sent: Sent | undefined; readonly rev: number } | undefined,
  start: Routine,
  records: readonly EditRecord[],
): boolean {
  if (acknowledged?.sent?.type !== "edit") return false;
  const then = records.slice(0, acknowledged.rev).reduce(bringForward, start);
  const applied = applyEdit(then, acknowledged.sent.edit as Edit);
  return "routine" in applied && isDeepStrictEqual(applied.routine, then);
}

/** @returns seeds that failed, each with what went wrong */
export async function campaign(from: number, count: number): Promise<{ seed: number; what: string }[]> {
  const failed: { seed: number; what: string }[] = [];
  for (let seed = from; seed < from + count; seed++) {
    const what = await history(seed).catch((error: Error) => error.message);
    if (what !== null) failed.push({ seed, what });
  }
  return failed;
}
