/** Edits of a routine: what they do, what they say, what they refuse, and that they touch nothing else. */
import { describe, expect, test } from "vitest";
import { Edit } from "../../schemas/edit.ts";
import type { Edit as AnEdit, SingleEdit } from "../../schemas/edit.ts";
import type { Placement, Routine } from "../../schemas/routine.ts";
import { applyEdit, bringsFault } from "../../server/routine/edit.ts";
import { checkRoutine } from "../../server/routine/check.ts";

const A: Routine = {
  format: "countercut-routine",
  version: 1,
  title: "Night Ferry",
  rig: { platter: 45 },
  patterns: [
    {
      id: "swell",
      name: "Swell",
      record: { step: "1/16", strokes: [{ move: "forward" }, { move: "back" }] },
      fader: { step: "1/16", cells: [{ fader: "click" }] },
    },
    {
      id: "wake",
      record: { step: "1/16", strokes: [{ move: "back" }] },
      fader: { step: "1/16", cells: [{ fader: "open" }] },
    },
  ],
  beats: [
    { id: "engine-room", name: "Engine room", step: "1/16", steps: 16, hits: [{ key: 36, at: [0, 8] }] },
  ],
  sections: [
    {
      id: "quay",
      name: "Quay",
      bars: 4,
      meter: "4/4",
      tempo: 92,
      placements: [{ pattern: "swell", bar: 1 }],
    },
    {
      id: "ring-road",
      name: "Ring Road",
      bars: 8,
      meter: "4/4",
      tempo: 92,
      beat: "engine-room",
      beatRests: [8],
      placements: [
        { pattern: "swell", bar: 1, lasts: { bars: 2 } },
        { words: "Breathe", bar: 5, lasts: { bars: 1 } },
      ],
    },
  ],
};
const at = (section: number, index: number) => ({
  section: A.sections[section]!.id,
  index,
  expected: A.sections[section]!.placements[index] as Placement,
});

function done(edit: AnEdit, routine: Routine = A): { routine: Routine; words: string } {
  const result = applyEdit(routine, Edit.parse(JSON.parse(JSON.stringify(edit))) as AnEdit);
  if ("refused" in result) throw new Error(result.refused);
  return result;
}
function refused(edit: AnEdit, routine: Routine = A): string {
  const result = applyEdit(routine, edit);
  if (!("refused" in result)) throw new Error(`done: ${result.words}`);
  return result.refused;
}

describe("words for the history", () => {
  const first = at(1, 0);
  const to = (change: object): Placement => ({ ...first.expected, ...change }) as Placement;
  const moved = (change: object, into?: string): AnEdit => ({
    kind: "change-placements",
    changes: [{ placement: first, to: to(change), ...(into === undefined ? {} : { into }) }],
  });
  const cases: readonly (readonly [AnEdit, string])[] = [
    [{ kind: "title", title: "Ferry" }, "Called the routine Ferry"],
    [{ kind: "time-limit", seconds: 90 }, "Set the time limit to 90 seconds"],
    [
      { kind: "change-rig", set: { platter: 33, limits: null } },
      "Changed the platter and limits of the hands",
    ],
    [moved({ bar: 3 }), "Moved Swell in Ring Road to bar 3"],
    [moved({ at: "1/4" }), "Moved Swell within bar 1 of Ring Road"],
    [moved({ bar: 0 }), "Moved Swell in Ring Road to pickup bar 0"],
    [moved({ lasts: { cycles: 1 } }), "Let Swell in Ring Road, bar 1 last 1 repeat"],
    [moved({ recordAt: 30 }), "Changed Swell in Ring Road, bar 1"],
    [moved({ bar: 2 }, "quay"), "Moved Swell from Ring Road to Quay, bar 2"],
    [{ kind: "remove-placements", placements: [at(1, 1)] }, "Removed “Breathe” from Ring Road, bar 5"],
    [{ kind: "remove-placements", placements: [at(1, 0), at(1, 1)] }, "Removed 2 phrases from Ring Road"],
    [
      { kind: "add-placements", section: "quay", placements: [{ pattern: "wake", bar: 2 }] },
      "Added wake to Quay, bar 2",
    ],
    [
      { kind: "change-section", id: "quay", set: { tempo: { from: 90, to: 97 } } },
      "Set the tempo of Quay to 90 to 97",
    ],
    [{ kind: "change-section", id: "quay", set: { bars: 1 } }, "Gave Quay 1 bar"],
    [{ kind: "change-section", id: "quay", set: { meter: "7/8" } }, "Set Quay to 7/8"],
    [
      { kind: "change-section", id: "quay", set: { beat: "engine-room", pitch: 2 } },
      "Changed the beat and pitch of Quay",
    ],
    [{ kind: "move-section", id: "ring-road", before: "quay" }, "Moved Ring Road before Quay"],
    [{ kind: "change-pattern", id: "swell", set: { name: "Tide" } }, "Called Swell Tide"],
    [
      { kind: "change-pattern", id: "swell", set: { fader: { step: "1/8", cells: [{ fader: "open" }] } } },
      "Changed the fader hand of Swell",
    ],
    [{ kind: "remove-beat", id: "engine-room", fromSections: true }, "Removed the beat Engine room"],
    [{ kind: "batch", words: "Landed Swell", edits: [moved({ bar: 2 }) as SingleEdit] }, "Landed Swell"],
    [
      { kind: "batch", edits: [moved({ bar: 2 }) as SingleEdit, { kind: "title", title: "F" }] },
      "Moved Swell in Ring Road to bar 2, and 1 more",
    ],
  ];
  for (const [edit, words] of cases) test(words, () => expect(done(edit).words).toBe(words));
});

describe("what an edit does", () => {
  test("null takes a field out of the file, what is not named stays", () => {
    const { sections } = done({
      kind: "change-section",
      id: "ring-road",
      set: { beatRests: null, bars: 6 },
    }).routine;
    const { beatRests, ...rest } = A.sections[1]!;
    expect(beatRests).toEqual([8]);
    expect(sections[1]).toEqual({ ...rest, bars: 6 });
  });

  test("a rig without anything in it goes", () => {
    expect(done({ kind: "change-rig", set: { platter: null } }).routine).not.toHaveProperty("rig");
  });

  test("a placement that goes to another section stands last there, and the others keep their order", () => {
    const to = { ...at(1, 0).expected, bar: 2 } as Placement;
    const { sections } = done({
      kind: "change-placements",
      changes: [{ placement: at(1, 0), to, into: "quay" }],
    }).routine;
    expect(sections.map(({ placements }) => placements)).toEqual([
      [A.sections[0]!.placements[0], to],
      [A.sections[1]!.placements[1]],
    ]);
  });

  test("several placements are addressed as they stood before, whatever the order", () => {
    const { routine } = done({ kind: "remove-placements", placements: [at(1, 1), at(1, 0), at(0, 0)] });
    expect(routine.sections.map(({ placements }) => placements)).toEqual([[], []]);
  });

  test("a batch sees what came before in it, and is done whole or not at all", () => {
    const add: SingleEdit = { kind: "add-section", section: { ...A.sections[0]!, id: "new" }, before: null };
    const change: SingleEdit = { kind: "change-section", id: "new", set: { name: null, bars: 2 } };
    expect(done({ kind: "batch", edits: [add, change] }).routine.sections[2]).toMatchObject({
      id: "new",
      bars: 2,
    });
    expect(refused({ kind: "batch", edits: [add, { kind: "remove-section", id: "never" }] })).toMatch(
      /no section/,
    );
  });

  test("removing a pattern with its placements leaves the words between them", () => {
    const { routine } = done({ kind: "remove-pattern", id: "swell", withPlacements: true });
    expect(routine.sections.map(({ placements }) => placements)).toEqual([
      [],
      [A.sections[1]!.placements[1]],
    ]);
    expect(checkRoutine(routine)).toEqual([]);
  });

  test("removing a beat takes with it what only a beat can have", () => {
    const { routine } = done({ kind: "remove-beat", id: "engine-room", fromSections: true });
    expect(routine.sections[1]).not.toHaveProperty("beat");
    expect(routine.sections[1]).not.toHaveProperty("beatRests");
  });

  test("what is not touched stays the same object, and an edit that changes nothing gives the same routine", () => {
    const { routine } = done({ kind: "change-section", id: "quay", set: { tempo: 100 } });
    expect(routine.sections[1]).toBe(A.sections[1]);
    expect(routine.patterns).toBe(A.patterns);
    const same: AnEdit[] = [
      { kind: "title", title: "Night Ferry" },
      { kind: "change-section", id: "quay", set: { tempo: 92, pitch: null } },
      { kind: "change-pattern", id: "swell", set: { record: A.patterns[0]!.record } },
      { kind: "change-rig", set: { platter: 45 } },
      { kind: "move-section", id: "ring-road", before: null },
      { kind: "change-placements", changes: [{ placement: at(1, 0), to: at(1, 0).expected }] },
    ];
    for (const edit of same) expect(done(edit).routine).toBe(A);
  });
});

describe("another id", () => {
  /** Everywhere in the file as text: an id stands in quotes, and nothing else here has these words. */
  const everywhere = (from: string, to: string, routine: Routine = A): Routine =>
    JSON.parse(JSON.stringify(routine).replaceAll(`"${from}"`, `"${to}"`)) as Routine;

  test("of a pattern, a beat and a section: whatever refers to it follows, and no error comes of it", () => {
    for (const [of, id] of [
      ["pattern", "swell"],
      ["beat", "engine-room"],
      ["section", "quay"],
    ] as const) {
      const { routine, words } = done({ kind: "change-id", of, id, to: "other" });
      expect(routine).toEqual(everywhere(id, "other"));
      expect(checkRoutine(routine)).toEqual([]);
      expect(words).toMatch(/^Gave (Swell|Engine room|Quay) the id other$/);
    }
  });

  test("of a sample and of a cue, which belongs to its sample alone", () => {
    const cues = [{ id: "mouth", at: 30 }];
    const placements: Placement[] = [
      { pattern: "swell", bar: 1, recordAt: "mouth" },
      { pattern: "swell", bar: 2, sample: "horn", recordAt: "mouth" },
    ];
    const routine: Routine = {
      ...A,
      rig: {
        samples: [
          { id: "choir", builtIn: "vowel", cues },
          { id: "horn", builtIn: "stab", cues },
        ],
      },
      sections: [{ ...A.sections[0]!, placements }],
    };
    const sample = done({ kind: "change-id", of: "sample", id: "horn", to: "brass" }, routine).routine;
    expect(sample).toEqual(everywhere("horn", "brass", routine));
    const first = done({ kind: "change-cue-id", sample: "choir", id: "mouth", to: "lips" }, routine).routine;
    expect(first.sections[0]!.placements).toEqual([{ ...placements[0], recordAt: "lips" }, placements[1]]);
    expect(first.rig!.samples!.map((one) => one.cues![0]!.id)).toEqual(["lips", "mouth"]);
    expect(checkRoutine(first)).toEqual([]);
  });

  test("of the sample that a rig has without saying so", () => {
    const { routine } = done({ kind: "change-id", of: "sample", id: "vowel", to: "choir" });
    expect(routine.rig).toEqual({ platter: 45, samples: [{ id: "choir", builtIn: "vowel" }] });
    expect(routine.sections).toEqual(A.sections);
  });
});

describe("what is refused, and why", () => {
  const wrong = { ...at(1, 0), expected: { pattern: "swell", bar: 2 } };
  const cases: readonly (readonly [string, AnEdit, string])[] = [
    [
      "a placement that is another meanwhile",
      { kind: "remove-placements", placements: [wrong] },
      "Ring Road, bar 2: Swell was changed or removed meanwhile. Look at it and try again.",
    ],
    [
      "one placement twice",
      { kind: "remove-placements", placements: [at(1, 0), at(1, 0)] },
      "One phrase is named twice in one edit. Name it only once.",
    ],
    [
      "a section that is gone",
      { kind: "change-section", id: "pier", set: { bars: 2 } },
      'There is no section "pier" any more. It was removed meanwhile; choose another.',
    ],
    [
      "an id that is taken",
      { kind: "add-section", section: A.sections[0]!, before: null },
      'There is a section "quay" already. Give the new one another id.',
    ],
    [
      "an id that another has",
      { kind: "change-id", of: "pattern", id: "swell", to: "wake" },
      'There is a phrase "wake" already. Give this one another id.',
    ],
    [
      "another id for what is gone",
      { kind: "change-cue-id", sample: "vowel", id: "mouth", to: "lips" },
      'There is no cue "mouth" any more. It was removed meanwhile; choose another.',
    ],
    [
      "a pattern that is played",
      { kind: "remove-pattern", id: "swell", withPlacements: false },
      "Swell is played in Quay. Remove it there first, or remove both together.",
    ],
    [
      "a beat that is used",
      { kind: "remove-beat", id: "engine-room", fromSections: false },
      "The beat Engine room plays in Ring Road. Choose another there first, or remove it from there too.",
    ],
    [
      "a patch of another routine",
      { kind: "patch", patch: { sections: { values: [], order: ["pier"] } } },
      "These changes belong to another routine. Load the page again.",
    ],
    [
      "a patch that leaves no section",
      { kind: "patch", patch: { sections: { values: [], order: [] } } },
      "A routine has 1 to 500 sections, not 0.",
    ],
  ];
  for (const [what, edit, sentence] of cases) test(what, () => expect(refused(edit)).toBe(sentence));

  test("the only section", () => {
    const one = { ...A, sections: [A.sections[0]!] };
    expect(refused({ kind: "remove-section", id: "quay" }, one)).toMatch(/^Quay is the only section\./);
  });
});

describe("errors that an edit may leave", () => {
  const faultOf = (edit: AnEdit) => bringsFault(checkRoutine(A), checkRoutine(done(edit).routine))?.code;

  test("how placements lie may be wrong for a while", () => {
    const twice: AnEdit = {
      kind: "add-placements",
      section: "ring-road",
      placements: [{ pattern: "wake", bar: 1 }],
    };
    expect(checkRoutine(done(twice).routine).map(({ code }) => code)).toEqual(["two-phrases"]);
    expect(faultOf(twice)).toBeUndefined();
    const short: AnEdit = { kind: "change-section", id: "ring-road", set: { bars: 1, beatRests: null } };
    expect(checkRoutine(done(short).routine).map(({ code }) => code)).toContain("past-section-end");
    expect(faultOf(short)).toBeUndefined();
  });

  test("a value that cannot be may not", () => {
    expect(faultOf({ kind: "change-section", id: "quay", set: { meter: "4/5" } })).toBe("out-of-range");
    expect(faultOf({ kind: "change-section", id: "quay", set: { beat: "none" } })).toBe("unknown-beat");
    const late = { key: 36, at: [16] };
    expect(faultOf({ kind: "change-beat", id: "engine-room", set: { hits: [late] } })).toBe(
      "hit-outside-beat",
    );
  });

  test("nor may one that was there already keep other edits out", () => {
    const bad = { ...A, sections: [{ ...A.sections[0]!, beat: "none" }, A.sections[1]!] };
    const next = done({ kind: "title", title: "Other" }, bad).routine;
    expect(bringsFault(checkRoutine(bad), checkRoutine(next))).toBeUndefined();
  });
});
