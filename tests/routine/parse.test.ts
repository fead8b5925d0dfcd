import { describe, expect, test } from "vitest";
import { parseRoutine } from "../../server/routine/parse.ts";
import { WORKED_FILE } from "./workedFile.ts";

const codes = (source: string | Uint8Array) =>
  parseRoutine(source).problems.map(({ code, place }) => `${code} ${place}`);

/** The worked file with one change. */
// biome-ignore lint/suspicious/noExplicitAny: it is broken on purpose
function changed(change: (file: any) => void): string {
  const file = JSON.parse(WORKED_FILE);
  change(file);
  return JSON.stringify(file);
}

test("the worked file has no errors", () => {
  expect(codes(WORKED_FILE)).toEqual([]);
});

test("text that is not JSON is refused with line and column", () => {
  const { problems } = parseRoutine('{\n  "format": "countercut-routine",\n  "version": 1,,\n}');
  expect(problems).toEqual([
    {
      code: "not-json",
      severity: "error",
      place: "",
      message: 'The file is not JSON: line 3, column 16: "," cannot stand here. Mend it there.',
    },
  ]);
});

test("bytes that are not UTF-8 are refused with line and column", () => {
  const bytes = new Uint8Array([...new TextEncoder().encode('{\n "title": "'), 0xff, 0x22]);
  expect(parseRoutine(bytes).problems[0]?.message).toBe(
    "The file is not UTF-8: line 2, column 12. Save it as UTF-8.",
  );
});

test("a byte order mark is no error", () => {
  expect(codes(`\uFEFF${WORKED_FILE}`)).toEqual([]);
  expect(codes(new TextEncoder().encode(`\uFEFF${WORKED_FILE}`))).toEqual([]);
});

test("a field that stands twice is told, not dropped", () => {
  expect(codes(WORKED_FILE.replace('"timeLimit": 180', '"timeLimit": 180, "timeLimit": 181'))).toEqual([
    "unknown-field /timeLimit",
  ]);
});

test("all problems are told at once, those of the shape and those of references", () => {
  const text = changed((file) => {
    file.patterns[0].record.strokes[0].trvel = 45;
    file.sections[0].tempo = 500;
    file.sections[0].beat = "engine-rom";
    delete file.sections[1].meter;
    file.sections[1].placements[0].pattern = "swll";
    file.beats[0].hits[0].at[2] = 16;
  });
  expect(codes(text).sort()).toEqual([
    "hit-outside-beat /beats/0/hits/0/at/2",
    "missing-field /sections/1/meter",
    "nothing-to-carry-on /sections/1/beatContinues",
    "out-of-range /sections/0/tempo",
    "unknown-beat /sections/0/beat",
    "unknown-field /patterns/0/record/strokes/0/trvel",
    "unknown-pattern /sections/1/placements/0/pattern",
  ]);
});

describe("what is wrong in one place hides nothing in another:", () => {
  /** Codes of a file of one phrase, one beat and two sections, after a change. */
  const found = (change: (file: any) => void) => {
    const file = {
      format: "countercut-routine",
      version: 1,
      title: "Slack Water",
      rig: { samples: [{ id: "tide", builtIn: "vowel" }] },
      patterns: [
        {
          id: "p",
          record: { step: "1/16", strokes: [{ move: "forward" }, { move: "back" }] },
          fader: { step: "1/16", cells: [{ fader: "open" }, { fader: "pulse" }] },
        },
      ],
      beats: [{ id: "b", step: "1/16", steps: 16, hits: [{ key: 36, at: [0] }] }],
      sections: ["s", "t"].map((id) => ({
        id,
        bars: 2,
        meter: "4/4",
        tempo: 93,
        placements: [{ pattern: "p", bar: 1 }],
      })),
    };
    change(file);
    return codes(JSON.stringify(file)).sort();
  };
  const placement = (fields: object) => ({ pattern: "p", bar: 2, ...fields });

  test("a wrong name in a phrase, what its strokes and cells are", () => {
    expect(
      found(({ patterns: [p], sections: [s] }) => {
        p.name = 7;
        p.record.strokes[0] = { move: "hold", travel: -45 };
        p.record.strokes[1] = { move: "back", shape: "released" };
        p.fader.cells[0].length = "1/7919";
        p.fader.cells[1].openFor = 1;
        s.placements[0].recordFrom = 2;
      }),
    ).toEqual([
      "finer-than-clock /patterns/0/fader/cells/0/length",
      "not-on-a-hold /patterns/0/record/strokes/0/travel",
      "opening-too-long /patterns/0/fader/cells/1/openFor",
      "out-of-range /patterns/0/record/strokes/0/travel",
      "released-backward /patterns/0/record/strokes/1/move",
      "start-outside-cycle /sections/0/placements/0/recordFrom",
      "wrong-type /patterns/0/name",
    ]);
  });

  test("a hand without a list of its strokes or cells, what the other does and where placements of it start", () => {
    expect(
      found(({ patterns, sections: [s] }) => {
        const [p] = patterns;
        p.record.strokes[0] = { move: "hold", travel: 45 };
        delete p.fader.cells;
        patterns.push({
          ...p,
          id: "q",
          record: 3,
          fader: { step: "1/16", cells: [{ fader: "open", times: 2 }] },
        });
        s.placements[0] = placement({ recordFrom: 2, faderFrom: 9 });
        s.placements.push(placement({ pattern: "q", bar: 1, recordFrom: 9, faderFrom: 1, player: 2 }));
      }),
    ).toEqual([
      "missing-field /patterns/0/fader/cells",
      "not-on-a-hold /patterns/0/record/strokes/0/travel",
      "start-outside-cycle /sections/0/placements/0/recordFrom",
      "start-outside-cycle /sections/0/placements/1/faderFrom",
      "unknown-field /patterns/1/fader/cells/0/times",
      "wrong-type /patterns/1/record",
    ]);
  });

  test("a placement without a bar or a phrase, what else it says", () => {
    expect(
      found(({ sections: [s] }) => {
        s.placements = [
          placement({ bar: 1.5, carriesOn: true, recordAt: 3 }),
          placement({ bar: "2", pattern: "swll", sample: "ebb", player: 2 }),
          placement({ bar: 2, pattern: 4, recordAt: "q", player: 3 }),
          placement({ bar: null, faderFrom: 2, player: 4 }),
        ];
      }),
    ).toEqual([
      "start-outside-cycle /sections/0/placements/3/faderFrom",
      "two-starts /sections/0/placements/0/recordAt",
      "unknown-cue /sections/0/placements/2/recordAt",
      "unknown-pattern /sections/0/placements/1/pattern",
      "unknown-sample /sections/0/placements/1/sample",
      "wrong-type /sections/0/placements/0/bar",
      "wrong-type /sections/0/placements/1/bar",
      "wrong-type /sections/0/placements/2/pattern",
      "wrong-type /sections/0/placements/3/bar",
    ]);
  });

  test("a pickup that is too early, where it ends", () => {
    const early = (bar: number) =>
      found(({ sections: [s, t] }) => {
        s.placements = [];
        t.placements = [placement({ bar: -2, lasts: { bars: 3 } }), placement({ bar, carriesOn: true })];
      });
    expect(early(1)).toEqual(["out-of-range /sections/1/placements/0/bar"]);
    expect(early(2)).toEqual([
      "nothing-to-carry-on /sections/1/placements/1/carriesOn",
      "out-of-range /sections/1/placements/0/bar",
    ]);
  });

  test("a wrong field of a section, what lies in it and in the next", () => {
    expect(
      found(({ sections: [s, t] }) => {
        Object.assign(s, { name: 7, tempo: 19, pitch: 99, meter: "4/0" });
        Object.assign(t, { beat: "b", beatContinues: true });
        t.placements[0].at = "1";
      }),
    ).toEqual([
      "nothing-to-carry-on /sections/1/beatContinues",
      "out-of-range /sections/0/meter",
      "out-of-range /sections/0/pitch",
      "out-of-range /sections/0/tempo",
      "out-of-range /sections/1/placements/0/at",
      "wrong-type /sections/0/name",
    ]);
    expect(
      found(({ sections: [s, t] }) => {
        Object.assign(s, { tempo: 19, swing: {} });
        s.placements = [placement({ bar: 1, lasts: { bars: 2 } }), placement({ arrives: "by air" })];
        t.placements.push(
          placement({ lasts: { bars: 2 } }),
          placement({ bar: 3, carriesOn: true, player: 2 }),
        );
      }),
    ).toEqual([
      "missing-field /sections/0/swing/of",
      "nothing-to-carry-on /sections/1/placements/2/carriesOn",
      "out-of-range /sections/0/tempo",
      "past-section-end /sections/1/placements/1",
      "past-section-end /sections/1/placements/2",
      "two-phrases /sections/0/placements/1",
      "wrong-type /sections/0/placements/1/arrives",
    ]);
  });

  test("a wrong rig, hit or placement, what is named by placements", () => {
    expect(
      found(({ rig, beats: [b], sections: [s] }) => {
        rig.platter = 34;
        Object.assign(b.hits[0], { velocity: 200, at: [16] });
        s.placements[0] = placement({ pattern: "q", sample: "ebb", lasts: { bars: 0 }, at: "1" });
      }),
    ).toEqual([
      "hit-outside-beat /beats/0/hits/0/at/0",
      "out-of-range /beats/0/hits/0/velocity",
      "out-of-range /rig/platter",
      "out-of-range /sections/0/placements/0/at",
      "out-of-range /sections/0/placements/0/lasts/bars",
      "unknown-pattern /sections/0/placements/0/pattern",
      "unknown-sample /sections/0/placements/0/sample",
    ]);
  });

  test("a length said in two ways, or in none, as a whole, and what it would overlap is not blamed", () => {
    expect(
      found(({ sections: [s, t] }) => {
        s.placements = [placement({ bar: 1, lasts: { bars: 2, cycles: 40 } }), placement({})];
        t.placements = [placement({ lasts: {} }), { words: "breathe", bar: 1, lasts: { bars: 1, steps: 2 } }];
      }),
    ).toEqual([
      "wrong-type /sections/0/placements/0/lasts",
      "wrong-type /sections/1/placements/0/lasts",
      "wrong-type /sections/1/placements/1/lasts",
    ]);
    // A field that is none of the three is to blame itself.
    expect(
      found(({ sections: [s] }) => {
        s.placements = [placement({ bar: 1, lasts: { bars: 1, beats: 2 } })];
      }),
    ).toEqual(["unknown-field /sections/0/placements/0/lasts/beats"]);
  });

  test("but what is not known is not blamed on anything", () => {
    // Where a length is wrong nobody knows how long the phrase is.
    expect(
      found(({ patterns: [p], sections: [s] }) => {
        p.record.strokes[0] = { move: "forward", length: 40, times: 7 };
        p.record.strokes[1] = { move: "back", length: "long", times: 7 };
        s.placements = [placement({ bar: 1, lasts: { cycles: 40 } }), placement({ bar: 2 })];
      }),
    ).toEqual(["wrong-type /patterns/0/record/strokes/1/length"]);
    expect(
      found(({ patterns, sections: [s, t] }) => {
        s.bars = 0;
        s.beatRests = [5];
        delete patterns[0].id;
        patterns.push({ ...patterns[0] });
        s.placements = [placement({ bar: 9 }), placement({ bar: 9, carriesOn: true })];
        t.placements = [
          { words: "breathe", bar: -2 },
          { words: "rest", bar: 9 },
        ];
      }),
    ).toEqual([
      "missing-field /patterns/0/id",
      "missing-field /patterns/1/id",
      "out-of-range /sections/0/bars",
      "past-section-end /sections/1/placements/1",
      "unknown-pattern /sections/0/placements/0/pattern",
      "unknown-pattern /sections/0/placements/1/pattern",
    ]);
  });

  test("an overlap, that the later one starts past the end of its section", () => {
    expect(
      found(({ sections: [s] }) => {
        s.placements = [placement({ bar: 1, lasts: { bars: 3 } }), { words: "b", bar: 3 }];
      }),
    ).toEqual([
      "past-section-end /sections/0/placements/0",
      "past-section-end /sections/0/placements/1",
      "two-phrases /sections/0/placements/1",
      "two-phrases /sections/1/placements/0",
    ]);
  });

  test("two that start together, that one goes on where another ends", () => {
    expect(
      found(({ sections: [s] }) => {
        s.placements = [placement({ bar: 1 }), placement({}), placement({ carriesOn: true })];
      }),
    ).toEqual(["two-phrases /sections/0/placements/2"]);
  });
});

test("numbers too large to count with, and lengths too fine, are no other type", () => {
  const with1 = (field: string) =>
    codes(WORKED_FILE.replace('"move": "forward" },', `"move": "forward", ${field} },`));
  expect(codes(WORKED_FILE.replace('"tempo": 93', '"tempo": 1e999'))).toEqual([
    "out-of-range /sections/0/tempo",
  ]);
  expect(with1('"length": "9007199254740993"')).toEqual(["out-of-range /patterns/0/record/strokes/0/length"]);
  expect(with1('"length": "1/9007199254740993"')).toEqual([
    "finer-than-clock /patterns/0/record/strokes/0/length",
  ]);
});

test("words of a wrong type are words all the same", () => {
  const text = changed((file) => {
    file.sections[0].placements[1] = { words: 5, bar: 4, lasts: { cycles: 1 } };
  });
  expect(codes(text).sort()).toEqual([
    "wrong-type /sections/0/placements/1/lasts",
    "wrong-type /sections/0/placements/1/words",
  ]);
});

test.each([
  ['{"a": "b\\x"}', 9, "\\"],
  ['{"a": "b\tc"}', 9, "\t"],
  ['{"a\\u12g4": 1}', 4, "\\"],
  ['{"a" "b"}', 6, '"'],
])("in %j the fault is at column %i", (text, column, character) => {
  expect(parseRoutine(text).problems[0]?.message).toBe(
    `The file is not JSON: line 1, column ${column}: ${JSON.stringify(character)} cannot stand here. Mend it there.`,
  );
});

test("a message says what, where in musical words, and what to do", () => {
  const text = changed((file) => {
    file.sections[1].placements[0].lasts = { bars: 6 };
  });
  expect(parseRoutine(text).problems).toEqual([
    {
      code: "two-phrases",
      severity: "error",
      place: "/sections/1/placements/1",
      message:
        "Open water, bar 6: two phrases for one pair of hands. Move one of them, or shorten the one before by 26 steps.",
    },
  ]);
});

test("JSON nested as deep as the file may be long neither crashes nor hangs", () => {
  expect(codes("[".repeat(1_000_000))).toEqual(["not-json "]);
  expect(codes("[".repeat(500_000) + "]".repeat(500_000))).toEqual(["wrong-format "]);
  expect(
    codes(
      WORKED_FILE.replace('"title": "Night Ferry"', `"title": ${"[".repeat(20_000)}${"]".repeat(20_000)}`),
    ),
  ).toEqual(["wrong-type /title"]);
});
