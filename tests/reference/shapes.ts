/** Every field of the routine file by the kind of value it takes, and values that are none of that kind. */
import type { Json, Path } from "./broken.ts";

export type Kind = string;
type Bad = { readonly "wrong-type": readonly Json[]; readonly "out-of-range": readonly Json[] };

const long = "a".repeat(201);
const whole = (low: number, high: number): Bad => ({
  "wrong-type": ["1", null, true, [], {}, 1.5],
  "out-of-range": [low - 1, high + 1, -1_000_000],
});
const measure = (low: readonly number[], high: readonly number[]): Bad => ({
  "wrong-type": ["1", null, false, [], {}],
  "out-of-range": [...low, ...high],
});
const word: Bad = { "wrong-type": ["sideways", "", "Forward", 1, null, true, [], {}], "out-of-range": [] };
const list = (least: number, most: number): Bad => ({
  "wrong-type": [null, "x", 1, {}, true],
  "out-of-range": least > 0 ? [[]] : most < 0 ? [] : [],
});
const fraction: Bad = {
  "wrong-type": [
    1,
    0.25,
    "",
    "x",
    "1/",
    "/4",
    "1.5",
    " 1/4",
    "1/4 ",
    "1/-4",
    "+1/4",
    "1e2",
    "1/4/4",
    null,
    [],
    {},
    true,
  ],
  "out-of-range": ["-1/16", "-3"],
};

export const BAD_VALUES: Readonly<Record<Kind, Bad>> = {
  "version!": { "wrong-type": ["1", null, true, [], {}], "out-of-range": [0, -1] },
  "name!": { "wrong-type": [1, null, true, [], {}], "out-of-range": [long] },
  name: { "wrong-type": [1, null, true, [], {}], "out-of-range": [long] },
  "id!": {
    "wrong-type": [1, null, "", "Upper", "two words", "a--b", "-a", "a-", "é", [], {}],
    "out-of-range": [],
  },
  reference: { "wrong-type": [1, null, "", "Upper", "two words", "a--b", [], {}], "out-of-range": [] },
  "list!": list(0, -1),
  "filled!": list(1, -1),
  list: list(0, -1),
  "part!": { "wrong-type": [null, "x", 1, [], true], "out-of-range": [] },
  part: { "wrong-type": [null, "x", 1, [], true], "out-of-range": [] },
  yes: { "wrong-type": [null, "yes", 1, 0, [], {}], "out-of-range": [] },
  "word!": word,
  word,
  "step!": {
    "wrong-type": fraction["wrong-type"],
    "out-of-range": [...fraction["out-of-range"], "0", "0/16"],
  },
  at: fraction,
  length: {
    "wrong-type": [...fraction["wrong-type"].filter((bad) => bad !== 1 && bad !== 0.25), 1.5],
    "out-of-range": [0, -1, "0", "0/3", "-1/2"],
  },
  travel: measure([0, -45], [3600.5, 1e9]),
  times: whole(1, 64),
  platter: { "wrong-type": ["33", null, true, [], {}], "out-of-range": [34, 0, 33.3, -45, 16] },
  seconds: measure([0, -1], []),
  limit: measure([0, -1], []),
  repeatsEvery: measure([-1, -0.5], []),
  "degrees!": { "wrong-type": ["30", null, true, [], {}], "out-of-range": [] },
  "key!": { "wrong-type": ["36", null, true, [], {}, 36.5], "out-of-range": [-1, 128] },
  velocity: whole(1, 127),
  hit: { "wrong-type": ["1", null, true, [], {}, 0.5], "out-of-range": [-1] },
  "steps!": { "wrong-type": ["4", null, true, [], {}, 4.5], "out-of-range": [0, -4] },
  "bars!": whole(1, 999),
  "meter!": {
    "wrong-type": [4, null, "", "4", "4-4", "x/4", "4/4/4", " 4/4", "4/", [], {}],
    "out-of-range": ["0/4", "65/4", "4/3", "4/64", "4/0", "7/12"],
  },
  "tempo!": { "wrong-type": ["93", null, true, []], "out-of-range": [19.99, 400.01, 0, -93] },
  "end!": { "wrong-type": ["93", null, true, [], {}], "out-of-range": [19.99, 400.01, 0, -93] },
  swing: measure([49.9, 0], [75.1, 100]),
  pitch: measure([-50.1], [50.1, 1000]),
  rest: { "wrong-type": ["1", null, true, [], {}, 1.5], "out-of-range": [0, -1] },
  "bar!": { "wrong-type": ["1", null, true, [], {}, 1.5], "out-of-range": [] },
  player: whole(1, 8),
  start: { "wrong-type": ["1", null, true, [], {}, 1.5], "out-of-range": [-1] },
  recordAt: { "wrong-type": [null, true, [], {}, "Not an id", ""], "out-of-range": [] },
  count: { "wrong-type": ["1", null, true, [], {}, 1.5], "out-of-range": [0, -1] },
  lasts: { "wrong-type": [null, "1", 1, [], true], "out-of-range": [] },
};

/** Kinds of fields that may not be left out. */
export const REQUIRED = new Set(Object.keys(BAD_VALUES).filter((kind) => kind.endsWith("!")));

const SHAPE: Readonly<Record<string, Readonly<Record<string, Kind>>>> = {
  routine: {
    version: "version!",
    title: "name!",
    timeLimit: "seconds",
    rig: "part",
    patterns: "list!",
    beats: "list!",
    sections: "filled!",
  },
  rig: {
    platter: "platter",
    recordHand: "word",
    turntable: "word",
    reversedFader: "yes",
    samples: "list",
    limits: "part",
  },
  limits: { speed: "limit", changeSeconds: "limit", clicks: "limit" },
  sample: { builtIn: "word", repeatsEvery: "repeatsEvery", cues: "list" },
  cue: { at: "degrees!" },
  pattern: { name: "name", record: "part!", fader: "part!" },
  record: { step: "step!", strokes: "filled!" },
  fader: { step: "step!", cells: "filled!" },
  stroke: { move: "word!", length: "length", travel: "travel", shape: "word", times: "times" },
  cell: { fader: "word!", length: "length", times: "times", closedFor: "length", openFor: "length" },
  beat: { name: "name", step: "step!", steps: "steps!", hits: "list!" },
  hit: { key: "key!", at: "list!", velocity: "velocity" },
  section: {
    id: "id!",
    name: "name",
    bars: "bars!",
    meter: "meter!",
    tempo: "tempo!",
    beat: "reference",
    swing: "part",
    pitch: "pitch",
    beatContinues: "yes",
    beatRests: "list",
    placements: "list!",
  },
  ramp: { from: "end!", to: "end!" },
  swing: { of: "step!", beat: "swing", hands: "swing" },
  placement: {
    pattern: "reference",
    words: "name",
    bar: "bar!",
    at: "at",
    lasts: "lasts",
    recordFrom: "start",
    faderFrom: "start",
    sample: "reference",
    recordAt: "recordAt",
    player: "player",
    carriesOn: "yes",
    arrives: "word",
  },
  lasts: { bars: "count", cycles: "count", steps: "count" },
};

/** Every object of a routine, with the name of its shape. */
function* shaped(routine: Json): Generator<[Path, string]> {
  yield [[], "routine"];
  if (routine.rig) {
    yield [["rig"], "rig"];
    if (routine.rig.limits) yield [["rig", "limits"], "limits"];
    for (const [n, sample] of (routine.rig.samples ?? []).entries()) {
      yield [["rig", "samples", n], "sample"];
      for (const c of (sample.cues ?? []).keys()) yield [["rig", "samples", n, "cues", c], "cue"];
    }
  }
  for (const [n, { record, fader }] of routine.patterns.entries()) {
    const path = ["patterns", n];
    yield* [
      [path, "pattern"],
      [[...path, "record"], "record"],
      [[...path, "fader"], "fader"],
    ] as [Path, string][];
    for (const s of record.strokes.keys()) yield [[...path, "record", "strokes", s], "stroke"];
    for (const c of fader.cells.keys()) yield [[...path, "fader", "cells", c], "cell"];
  }
  for (const [n, beat] of routine.beats.entries()) {
    yield [["beats", n], "beat"];
    for (const h of beat.hits.keys()) yield [["beats", n, "hits", h], "hit"];
  }
  for (const [n, section] of routine.sections.entries()) {
    const path = ["sections", n];
    yield [path, "section"];
    if (typeof section.tempo === "object") yield [[...path, "tempo"], "ramp"];
    if (section.swing) yield [[...path, "swing"], "swing"];
    for (const [p, placement] of section.placements.entries()) {
      yield [[...path, "placements", p], "placement"];
      if (placement.lasts) yield [[...path, "placements", p, "lasts"], "lasts"];
    }
  }
}

export const objectsIn = (routine: Json): Path[] => [...shaped(routine)].map(([path]) => path);

/** Every field that a routine has and whose kind is known here, with its kind. */
export function fieldsOf(routine: Json): [Path, Kind][] {
  const found: [Path, Kind][] = [];
  for (const [path, shape] of shaped(routine)) {
    const owner = path.reduce((inside, part) => inside[part], routine);
    for (const [field, kind] of Object.entries(SHAPE[shape]!)) {
      if (!(field in owner)) continue;
      found.push([[...path, field], kind]);
      if (field === "at" && shape === "hit")
        for (const n of owner.at.keys()) found.push([[...path, "at", n], "hit"]);
      if (field === "beatRests")
        for (const n of owner.beatRests.keys()) found.push([[...path, field, n], "rest"]);
    }
  }
  return found;
}
