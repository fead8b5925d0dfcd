import { expect, test } from "vitest";
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
    "out-of-range /sections/0/tempo",
    "unknown-field /patterns/0/record/strokes/0/trvel",
    "unknown-pattern /sections/1/placements/0/pattern",
  ]);
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
