import { expect, test } from "vitest";
import { DEMO } from "../../server/routine/demo.ts";
import { parseRoutine } from "../../server/routine/parse.ts";
import { writeRoutine } from "../../server/routine/write.ts";
import { WORKED_FILE } from "./workedFile.ts";

const routineOf = (text: string) => {
  const { routine, problems } = parseRoutine(text);
  expect(problems).toEqual([]);
  if (routine === null) throw new Error("no routine");
  return routine;
};

test("the demo routine, written and read again, is the same file", () => {
  const text = writeRoutine(DEMO);
  expect(writeRoutine(routineOf(text))).toBe(text);
  expect(text.endsWith("}\n")).toBe(true);
});

test("the worked file keeps every field that says something", () => {
  const again = JSON.parse(writeRoutine(routineOf(WORKED_FILE)));
  const expected = JSON.parse(WORKED_FILE);
  // What equals a default goes: the sample's repeat of 360 degrees, the platter, the reversed fader.
  delete expected.rig.platter;
  delete expected.rig.reversedFader;
  delete expected.rig.samples[0].repeatsEvery;
  expect(again).toEqual(expected);
});

test("fields that equal a default are left out, and a field order of its own does not matter", () => {
  const text = JSON.stringify({
    sections: [
      {
        placements: [
          {
            bar: 1,
            pattern: "a",
            at: "0",
            recordFrom: 0,
            faderFrom: 0,
            recordAt: 0,
            player: 1,
            carriesOn: false,
            arrives: "hand",
          },
        ],
        pitch: 0,
        beatRests: [],
        beatContinues: false,
        swing: { hands: 50, of: "1/16", beat: 50 },
        tempo: 93,
        meter: "4/4",
        bars: 1,
        id: "s",
      },
    ],
    beats: [{ id: "b", step: "1/16", steps: 16, hits: [{ key: 36, at: [0], velocity: 100 }] }],
    patterns: [
      {
        id: "a",
        record: {
          step: "1/16",
          strokes: [{ move: "forward", length: 1, travel: 45, shape: "eased", times: 1 }],
        },
        fader: { step: "1/16", cells: [{ fader: "click", length: "1", times: 1 }] },
      },
    ],
    rig: {
      platter: 33,
      reversedFader: false,
      limits: { clicks: 10 },
      samples: [{ id: "vowel", builtIn: "vowel" }],
    },
    title: "Slow boat",
    version: 1,
    format: "countercut-routine",
  });
  expect(writeRoutine(routineOf(text))).toBe(`{
  "format": "countercut-routine",
  "version": 1,
  "title": "Slow boat",
  "patterns": [
    {
      "id": "a",
      "record": { "step": "1/16", "strokes": [{ "move": "forward" }] },
      "fader": { "step": "1/16", "cells": [{ "fader": "click" }] }
    }
  ],
  "beats": [{ "id": "b", "step": "1/16", "steps": 16, "hits": [{ "key": 36, "at": [0] }] }],
  "sections": [
    {
      "id": "s",
      "bars": 1,
      "meter": "4/4",
      "tempo": 93,
      "swing": { "of": "1/16" },
      "placements": [{ "pattern": "a", "bar": 1 }]
    }
  ]
}
`);
});
