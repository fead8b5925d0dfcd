import { expect, test } from "vitest";
import { wavName } from "../../server/clips/names.ts";
import { ATTIC_WALTZ } from "../../server/routine/atticWaltz.ts";

test("a file is called after its section's name, or its id where the name has no plain letter", () => {
  const [first] = ATTIC_WALTZ.sections;
  const called = (name: string): string =>
    wavName({ ...ATTIC_WALTZ, sections: [{ ...first!, id: "section-1", name }] }, "section-1", "beat");
  expect(called("Hatch, closed")).toBe("01_hatch-closed_beat_08bars_072.0bpm_3-4");
  expect(called("Lücke")).toBe("01_lucke_beat_08bars_072.0bpm_3-4");
  expect(called("屋根裏")).toBe("01_section-1_beat_08bars_072.0bpm_3-4");
});
