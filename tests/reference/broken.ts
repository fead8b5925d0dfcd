/**
 * Routines with one mistake, and the one problem that the design says they have. A mistake is made where it has no
 * other consequence: an id is spoilt only where nothing refers to it, a placement misplaced only for a player who
 * plays nothing else.
 */
import fc from "fast-check";
import type { Routine } from "../../schemas/routine.ts";
import { barOf, stepOf } from "./layout.ts";
import { type Draw, drawRoutine, oneIn, oneOf } from "./random.ts";
import { asText, dividedBy, parseRational, rational, times } from "./rational.ts";
import { BAD_VALUES, fieldsOf, type Kind, objectsIn, REQUIRED } from "./shapes.ts";

// biome-ignore lint/suspicious/noExplicitAny: a broken routine is any JSON at all.
export type Json = any;
export type Path = readonly (string | number)[];
export interface Mistake {
  readonly what: string;
  readonly routine: Json;
  readonly code: string;
  readonly place: string;
}

/** RFC 6901. */
export const pointer = (path: Path) =>
  path.map((part) => `/${String(part).replaceAll("~", "~0").replaceAll("/", "~1")}`).join("");

const at = (json: Json, path: Path): Json => path.reduce((inside, part) => inside?.[part], json);

/** Makes one mistake in the routine and says which, or null where this routine gives no occasion. */
type Spoil = (draw: Draw, routine: Json) => { code: string; path: Path } | null;

/** Who plays nothing in a random routine. */
const IDLE = 7;

const pick = <T>(draw: Draw, items: readonly T[]): T | null =>
  items.length === 0 ? null : oneOf(draw, ...items);

/** Forgets what leans on neighbours, so that one mistake has one consequence. */
function standAlone(routine: Json): void {
  for (const section of routine.sections) {
    delete section.beatContinues;
    for (const placement of section.placements) delete placement.carriesOn;
  }
}

/** A new stroke, cell or pattern that no placement uses, so that its length disturbs nothing. */
function addPattern(
  routine: Json,
  strokes: Json[],
  cells: Json[],
  steps = { record: "1/16", fader: "1/8" },
): Path {
  routine.patterns.push({
    id: "unplayed",
    record: { step: steps.record, strokes },
    fader: { step: steps.fader, cells },
  });
  return ["patterns", routine.patterns.length - 1];
}
function addPlacement(routine: Json, section: number, fields: Json): Path {
  const { placements } = routine.sections[section];
  placements.push({ player: IDLE, ...fields });
  return ["sections", section, "placements", placements.length - 1];
}
const anySection = (draw: Draw, routine: Json): number => draw(fc.nat({ max: routine.sections.length - 1 }));
const anyPlacement = (draw: Draw, routine: Json, accepts: (placement: Json) => boolean): Path | null =>
  pick(
    draw,
    routine.sections.flatMap((section: Json, s: number) =>
      section.placements.flatMap((placement: Json, p: number) =>
        accepts(placement) ? [["sections", s, "placements", p]] : [],
      ),
    ) as Path[],
  );
const playsPattern = (placement: Json) => "pattern" in placement;
const somePattern = (draw: Draw, routine: Routine) => oneOf(draw, ...routine.patterns).id;
const MOVES = [{ move: "forward" }, { move: "back" }];
const CELLS = [{ fader: "click" }, { fader: "open" }];

export const SPOILERS: Readonly<Record<string, Spoil>> = {
  "an unknown field": (draw, routine) => {
    const path = pick(draw, objectsIn(routine))!;
    const key = oneOf(draw, "colour", "Length", "a/b~c", "é", "__proto");
    at(routine, path)[key] = oneOf(draw, 1, "x", null);
    return { code: "unknown-field", path: [...path, key] };
  },
  "a missing field": (draw, routine) => {
    const path = pick(
      draw,
      fieldsOf(routine).filter(([path, kind]) => REQUIRED.has(kind) && mayGo(routine, path)),
    );
    if (path === null) return null;
    if (path[0][0] !== "patterns") standAlone(routine);
    delete at(routine, path[0].slice(0, -1))[path[0].at(-1)!];
    return { code: "missing-field", path: path[0] };
  },
  "a placement of nothing": (_draw, routine) => {
    const path = addPlacement(routine, 0, { bar: 1 });
    return { code: "missing-field", path: [...path, "pattern"] };
  },
  "a value of a wrong type": (draw, routine) => spoilValue(draw, routine, "wrong-type"),
  "a value out of range": (draw, routine) => spoilValue(draw, routine, "out-of-range"),
  "an id of a wrong form": (draw, routine) => {
    const bad = oneOf(draw, "Upper", "a--b", "", "-a", "a b", "é", 5, null);
    const lists: Path[] = [["patterns"], ["beats"], ["sections"]];
    const list = oneOf(draw, ...lists);
    at(routine, list).push(
      {
        patterns: { id: bad, record: { step: "1/16", strokes: MOVES }, fader: { step: "1/8", cells: CELLS } },
        beats: { id: bad, step: "1/16", steps: 4, hits: [] },
        sections: { id: bad, bars: 1, meter: "4/4", tempo: 93, placements: [] },
      }[String(list[0])],
    );
    return { code: "wrong-type", path: [...list, at(routine, list).length - 1, "id"] };
  },
  "an id twice": (draw, routine) => {
    const lists: Path[] = [["patterns"], ["beats"], ["sections"], ["rig", "samples"]];
    (routine.rig?.samples ?? []).forEach((sample: Json, n: number) => {
      if (sample.cues) lists.push(["rig", "samples", n, "cues"]);
    });
    const list = pick(
      draw,
      lists.filter((path) => (at(routine, path) ?? []).length > 0),
    )!;
    const twin = structuredClone(oneOf(draw, ...at(routine, list)));
    if (list[0] === "sections") Object.assign(twin, { placements: [], beatContinues: false });
    at(routine, list).push(twin);
    return { code: "duplicate-id", path: [...list, at(routine, list).length - 1, "id"] };
  },
  "a pattern that is not there": (draw, routine) => {
    standAlone(routine);
    const path = anyPlacement(draw, routine, playsPattern);
    if (path === null) return null;
    at(routine, path).pattern = "nowhere";
    return { code: "unknown-pattern", path: [...path, "pattern"] };
  },
  "a beat that is not there": (draw, routine) => {
    standAlone(routine);
    const n = anySection(draw, routine);
    routine.sections[n].beat = "nowhere";
    return { code: "unknown-beat", path: ["sections", n, "beat"] };
  },
  "a sample that is not there": (draw, routine) => {
    standAlone(routine);
    const path = anyPlacement(draw, routine, playsPattern);
    if (path === null) return null;
    const placement = at(routine, path);
    placement.sample = "nowhere";
    delete placement.recordAt;
    return { code: "unknown-sample", path: [...path, "sample"] };
  },
  "a cue that is not there": (draw, routine) => {
    standAlone(routine);
    const path = anyPlacement(draw, routine, playsPattern);
    if (path === null) return null;
    at(routine, path).recordAt = "nowhere";
    return { code: "unknown-cue", path: [...path, "recordAt"] };
  },
  "a step finer than the clock": (draw, routine) => {
    const [record, fader] = oneOf(
      draw,
      ["1/17", "1/16"],
      ["1/16", "1/17"],
      ["1/2048", "1/8"],
      ["1/8", "3/121"],
    );
    const path = addPattern(routine, MOVES, CELLS, { record, fader });
    return {
      code: "finer-than-clock",
      path: [...path, fader.endsWith("7") || fader === "3/121" ? "fader" : "record", "step"],
    };
  },
  "a beat's step or a swing finer than the clock": (draw, routine) => {
    if (oneIn(draw, 2)) {
      routine.beats.push({ id: "unplayed", step: "1/17", steps: 4, hits: [{ key: 36, at: [0] }] });
      return { code: "finer-than-clock", path: ["beats", routine.beats.length - 1, "step"] };
    }
    const n = anySection(draw, routine);
    routine.sections[n].swing = { of: "1/19", hands: 60 };
    return { code: "finer-than-clock", path: ["sections", n, "swing", "of"] };
  },
  "a length finer than the clock": (draw, routine) => {
    const [strokes, cells, end] = oneOf<[Json[], Json[], Path][]>(
      draw,
      [[{ move: "forward", length: "1/17" }], CELLS, ["record", "strokes", 0, "length"]],
      [[...MOVES, { move: "hold", length: "3/19" }], CELLS, ["record", "strokes", 2, "length"]],
      [
        [...MOVES, { move: "forward", shape: "released", length: "1/17" }],
        CELLS,
        ["record", "strokes", 2, "length"],
      ],
      [MOVES, [...CELLS, { fader: "closed", length: "1/121" }], ["fader", "cells", 2, "length"]],
      [MOVES, [{ fader: "pulse", length: "1/17" }], ["fader", "cells", 0, "length"]],
    );
    return { code: "finer-than-clock", path: [...addPattern(routine, strokes, cells), ...end] };
  },
  "a split, a closure or an opening finer than the clock": (draw, routine) => {
    const [strokes, cells, end] = oneOf<[Json[], Json[], Path][]>(
      draw,
      [[{ move: "forward", times: 17 }], CELLS, ["record", "strokes", 0, "times"]],
      [MOVES, [...CELLS, { fader: "click", times: 19 }], ["fader", "cells", 2, "times"]],
      [MOVES, [...CELLS, { fader: "pulse", times: 17 }], ["fader", "cells", 2, "times"]],
      [MOVES, [{ fader: "click", closedFor: "1/17" }], ["fader", "cells", 0, "closedFor"]],
      [MOVES, [{ fader: "pulse", openFor: "1/17" }], ["fader", "cells", 0, "openFor"]],
    );
    return { code: "finer-than-clock", path: [...addPattern(routine, strokes, cells), ...end] };
  },
  "a position finer than the clock": (draw, routine) => {
    const fields = oneOf(draw, { words: "Wait" }, { pattern: somePattern(draw, routine) });
    const path = addPlacement(routine, anySection(draw, routine), { ...fields, bar: 1, at: "1/17" });
    return { code: "finer-than-clock", path: [...path, "at"] };
  },
  "a hold that does something": (draw, routine) => {
    const [field, value] = oneOf(
      draw,
      ["travel", 45],
      ["travel", 90],
      ["shape", "eased"],
      ["shape", "even"],
      ["shape", "released"],
      ["times", 1],
      ["times", 2],
    );
    const path = addPattern(routine, [...MOVES, { move: "hold", [field]: value }], CELLS);
    return { code: "not-on-a-hold", path: [...path, "record", "strokes", 2, field] };
  },
  "a released stroke that does not run by itself": (draw, routine) => {
    const [stroke, field] = oneOf<[Json, string][]>(
      draw,
      [{ move: "back" }, "move"],
      [{ move: "forward", travel: 45 }, "travel"],
      [{ move: "forward", times: 2 }, "times"],
      [{ move: "forward", times: 1 }, "times"],
    );
    const path = addPattern(routine, [{ ...stroke, shape: "released" }, ...MOVES], CELLS);
    return { code: "released-backward", path: [...path, "record", "strokes", 0, field] };
  },
  "a cell with a field of another": (draw, routine) => {
    const [cell, field] = oneOf<[Json, string][]>(
      draw,
      [{ fader: "open", times: 2 }, "times"],
      [{ fader: "closed", times: 1 }, "times"],
      [{ fader: "open", closedFor: "1/4" }, "closedFor"],
      [{ fader: "pulse", closedFor: "1/4" }, "closedFor"],
      [{ fader: "closed", openFor: "1/4" }, "openFor"],
      [{ fader: "click", openFor: "1/4" }, "openFor"],
    );
    const path = addPattern(routine, MOVES, [...CELLS, cell]);
    return { code: "unknown-field", path: [...path, "fader", "cells", 2, field] };
  },
  "a hit outside its beat": (draw, routine) => {
    const steps = oneOf(draw, 1, 4, 16);
    const hits = [
      { key: 36, at: [0] },
      { key: 38, at: [steps - 1, oneOf(draw, steps, steps + 5, 999_999_999)] },
    ];
    routine.beats.push({ id: "unplayed", step: "1/16", steps, hits });
    return { code: "hit-outside-beat", path: ["beats", routine.beats.length - 1, "hits", 1, "at", 1] };
  },
  "a start outside the cycle": (draw, routine) => {
    const path = anyPlacement(draw, routine, playsPattern);
    if (path === null) return null;
    const placement = at(routine, path);
    const { record, fader } = routine.patterns.find(({ id }: Json) => id === placement.pattern);
    const more = oneOf(draw, 0, 1, 1000);
    if (oneIn(draw, 2)) {
      placement.recordFrom = record.strokes.length + more;
      return { code: "start-outside-cycle", path: [...path, "recordFrom"] };
    }
    placement.faderFrom = fader.cells.length + more;
    return { code: "start-outside-cycle", path: [...path, "faderFrom"] };
  },
  "an opening as long as its cell or split": (draw, routine) => {
    const [length, parts] = oneOf<[number | string, number][]>(
      draw,
      [1, 1],
      [2, 1],
      ["3/2", 1],
      [1, 2],
      [3, 4],
    );
    const split = dividedBy(parseRational(length), rational(parts));
    const openFor = asText(times(split, parseRational(oneOf(draw, "1", "2", "3/2"))));
    const cell = { fader: "pulse", length, ...(parts > 1 ? { times: parts } : {}), openFor };
    const path = addPattern(routine, MOVES, [cell]);
    return { code: "opening-too-long", path: [...path, "fader", "cells", 0, "openFor"] };
  },
  "a placement past the end of its section": (draw, routine) => {
    const n = anySection(draw, routine);
    const { bars } = routine.sections[n];
    const pattern = somePattern(draw, routine);
    const fields = oneOf<Json[]>(
      draw,
      { pattern, bar: bars + 1 },
      { pattern, bar: 1, lasts: { bars: bars + 1 } },
      { pattern, bar: bars, at: "1/16", lasts: { bars: 1 } },
      { words: "Wait", bar: bars + 1, lasts: { bars: 1 } },
      { words: "Wait", bar: 1, lasts: { bars: bars + 1 } },
      { pattern, bar: 1, lasts: { cycles: 1_000_000 } },
      { pattern, bar: 1, lasts: { steps: 10_000_000 } },
    );
    return { code: "past-section-end", path: addPlacement(routine, n, fields) };
  },
  "two phrases for one pair of hands": (draw, routine) => {
    const pattern = somePattern(draw, routine);
    const n = anySection(draw, routine);
    const first = { pattern, bar: 1, lasts: { bars: 1 } };
    const second = oneOf<Json[]>(
      draw,
      { pattern, bar: 1, at: "1/16" },
      { words: "Wait", bar: 1, at: "1/1024" },
    );
    // The pickup of a section over what the section before it plays.
    if (n > 0 && oneIn(draw, 2)) {
      const bar = routine.sections[n - 1].bars;
      addPlacement(routine, n - 1, { ...first, bar });
      const pickup = stepOf("1/16");
      const meter = barOf(routine.sections[n].meter);
      const offset = meter - pickup;
      return {
        code: "two-phrases",
        path: addPlacement(routine, n, {
          words: "Pick up",
          bar: 0,
          at: asText(times(parseRational(routine.sections[n].meter), rational(offset, meter))),
        }),
      };
    }
    if (oneIn(draw, 2)) {
      const path = addPlacement(routine, n, second);
      addPlacement(routine, n, first);
      return { code: "two-phrases", path };
    }
    addPlacement(routine, n, first);
    return { code: "two-phrases", path: addPlacement(routine, n, second) };
  },
  "a placement that carries nothing on": (draw, routine) => {
    const pattern = somePattern(draw, routine);
    const n = anySection(draw, routine);
    if (routine.sections[n].bars < 2) return null;
    const before = oneOf<Json[]>(
      draw,
      null,
      { words: "Step back", bar: 1, lasts: { bars: 1 } },
      { pattern, bar: 1, lasts: { steps: 1 } },
      { pattern, bar: 1, lasts: { bars: 1 }, player: 6 },
    );
    standAlone(routine);
    if (before !== null) {
      // One step would reach the next bar exactly where a bar is one step long.
      const { record } = routine.patterns.find(({ id }: Json) => id === pattern);
      if (before.lasts.steps === 1 && stepOf(record.step) >= barOf(routine.sections[n].meter)) return null;
      addPlacement(routine, n, before);
    }
    const path = addPlacement(routine, n, { pattern, bar: 2, carriesOn: true });
    return { code: "nothing-to-carry-on", path: [...path, "carriesOn"] };
  },
  "a placement that carries on another sample": (draw, routine) => {
    const samples = routine.rig?.samples ?? [];
    if (samples.length < 2) return null;
    const pattern = somePattern(draw, routine);
    const n = anySection(draw, routine);
    standAlone(routine);
    addPlacement(routine, n, { pattern, bar: 1, sample: samples[1].id });
    const path = addPlacement(routine, n, { pattern, bar: 1, at: "1/16", carriesOn: true });
    return { code: "nothing-to-carry-on", path: [...path, "carriesOn"] };
  },
  "a beat that continues nothing": (draw, routine) => {
    standAlone(routine);
    if (routine.beats.length === 0) return null;
    const n = anySection(draw, routine);
    const section = routine.sections[n];
    section.beat = routine.beats[0].id;
    if (n > 0) {
      const before = routine.sections[n - 1];
      if (routine.beats.length > 1 && oneIn(draw, 2)) before.beat = routine.beats[1].id;
      else delete before.beat;
      delete before.beatRests;
    }
    section.beatContinues = true;
    return { code: "nothing-to-carry-on", path: ["sections", n, "beatContinues"] };
  },
  "a placement with two starts": (draw, routine) => {
    const path = anyPlacement(draw, routine, ({ carriesOn }) => carriesOn === true);
    if (path === null) return null;
    at(routine, path).recordAt = oneOf(draw, 0, 30);
    return { code: "two-starts", path: [...path, "recordAt"] };
  },
  "a pickup from before the routine": (draw, routine) => {
    const n = anySection(draw, routine);
    if (n === 0) return null;
    const path = addPlacement(routine, n, {
      pattern: somePattern(draw, routine),
      bar: -998,
      lasts: { steps: 1 },
    });
    return { code: "out-of-range", path: [...path, "bar"] };
  },
  "a position after the bar": (draw, routine) => {
    const n = anySection(draw, routine);
    const { meter } = routine.sections[n];
    const bar = oneOf(
      draw,
      asText(parseRational(meter)),
      meter,
      asText(times(parseRational(meter), rational(2))),
    );
    const path = addPlacement(routine, n, { words: "Wait", bar: 1, at: bar });
    return { code: "out-of-range", path: [...path, "at"] };
  },
  "a rest after the section": (draw, routine) => {
    const n = anySection(draw, routine);
    const { bars } = routine.sections[n];
    if (routine.beats.length === 0) return null;
    routine.sections[n].beat ??= routine.beats[0].id;
    routine.sections[n].beatRests = [1, bars + oneOf(draw, 1, 100)];
    standAlone(routine);
    return { code: "out-of-range", path: ["sections", n, "beatRests", 1] };
  },
  "a later version": (draw, routine) => {
    routine.version = oneOf(draw, 2, 99);
    return { code: "newer-version", path: ["version"] };
  },
  "another format": (draw, routine) => {
    if (oneIn(draw, 2)) delete routine.format;
    else routine.format = oneOf(draw, "countercut", 1, null, {});
    return { code: "wrong-format", path: ["format"] };
  },
};

/** A missing id leaves references behind, a missing list of patterns or beats all of them. */
function mayGo(routine: Json, path: Path): boolean {
  const field = path.at(-1);
  if (field === "id") return path[0] === "sections";
  if (path.length === 1 && (field === "patterns" || field === "beats")) {
    const refers = field === "patterns" ? playsPattern : () => false;
    return !routine.sections.some(
      (section: Json) => (field === "beats" && section.beat !== undefined) || section.placements.some(refers),
    );
  }
  return true;
}

function spoilValue(draw: Draw, routine: Json, code: "wrong-type" | "out-of-range"): ReturnType<Spoil> {
  const fields = fieldsOf(routine).filter(
    ([path, kind]) => BAD_VALUES[kind]![code].length > 0 && mayGo(routine, path),
  );
  const kinds = [...new Set(fields.map(([, kind]) => kind))];
  const kind = oneOf<Kind[]>(draw, ...kinds);
  const [path] = oneOf(draw, ...fields.filter(([, one]) => one === kind));
  const bad = oneOf(draw, ...BAD_VALUES[kind]![code]);
  // A slip in a pattern is none in the placements that play it, even where one carries on from another.
  if (path[0] !== "patterns") standAlone(routine);
  at(routine, path.slice(0, -1))[path.at(-1)!] = structuredClone(bad);
  return { code, path };
}

/** Random routines with one mistake, of the kinds named or of all. */
export const brokenRoutine = (names: readonly string[] = Object.keys(SPOILERS)): fc.Arbitrary<Mistake> =>
  fc.gen().map((gen) => {
    const draw: Draw = (arbitrary) => gen(() => arbitrary);
    const what = oneOf(draw, ...names);
    for (;;) {
      const routine = structuredClone(drawRoutine(draw)) as Json;
      const mistake = SPOILERS[what]!(draw, routine);
      if (mistake !== null) return { what, routine, code: mistake.code, place: pointer(mistake.path) };
    }
  });
