import { describe, expect, it } from "vitest";
import { contentOf } from "../../client/rows/content.ts";
import { rowText } from "../../client/rows/words.ts";
import { UNITS_PER_WHOLE } from "../../schemas/units.ts";
import { compile } from "../../server/routine/compile.ts";
import { DEMO } from "../../server/routine/demo.ts";

const performance = compile(DEMO);
const indexOf = (id: string): number => DEMO.sections.findIndex((section) => section.id === id);

describe("what stands in a row", () => {
  it("has a row a bar, and every sound of the demo in the row of its start", () => {
    for (const [index, { performance: own }] of performance.sections.entries()) {
      const content = contentOf(performance, index);
      expect(content.rows).toHaveLength(DEMO.sections[index]!.bars);
      for (const sound of own.sounds.filter(({ start }) => start >= 0)) {
        const row = content.rows[Math.floor(sound.start / own.bar)]!;
        expect(row.sounds).toContainEqual({ ...sound, owner: index });
      }
    }
  });

  it("draws a pickup in the last row of the section before, where it sounds", () => {
    const index = indexOf("moorings");
    const own = performance.sections[index]!;
    const pickup = own.performance.placed.find(({ start }) => start < 0)!;
    const before = contentOf(performance, index - 1);
    const guest = before.rows.at(-1)!.placed.find(({ owner }) => owner === index)!;
    expect(guest.start).toBe(pickup.start + own.start - performance.sections[index - 1]!.start);
    expect(contentOf(performance, index).rows[0]!.placed.some(({ start }) => start === pickup.start)).toBe(
      false,
    );
  });

  it("steps a group of nine sixteenths sideways from row to row: the staircase", () => {
    const index = indexOf("swell");
    const content = contentOf(performance, index);
    const sixteenth = UNITS_PER_WHOLE / 16;
    const starts = content.rows
      .slice(0, 3)
      .map((row) =>
        row.faderGroups
          .filter(({ start }) => start >= row.start)
          .map(({ start }) => (start - row.start) / sixteenth),
      );
    expect(starts).toEqual([
      [0, 9],
      [2, 11],
      [4, 13],
    ]);
  });

  it("keeps what it made for a section that did not change", () => {
    const again = { ...performance };
    expect(contentOf(again, 1)).toBe(contentOf(performance, 1));
  });

  it("says in words what the row shows", () => {
    const index = indexOf("cast-off");
    const row = contentOf(performance, index).rows[0]!;
    const text = rowText(row, "4/4", () => "Wake");
    expect(text).toMatch(/^Bar 1\. Wake from 1\. Heard: forward at 1, /);
    expect(text).toContain("Record groups start at 1, 2, 3, 4.");
    expect(text).toContain("Fader groups start at 1, 1\u00a03/4, 2\u00a01/2, 3\u00a01/4, 4, 4\u00a03/4.");
  });
});
